"""A picture of the parts as they come off the printer, side by side in isometric view, shaded from their own depth."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...errors import OutputError
from ...press.faces.seen import heights_over
from ...solids.solid import Solid

PART_COLOURS: dict[str, tuple[int, int, int]] = {
    "die": (74, 104, 84),
    "backing": (216, 205, 182),
    "handle": (176, 124, 84),
}
"""Colour of each part, red, green and blue, by name: of no filament in particular, told apart in grey too."""

OTHER = (160, 160, 160)
"""Colour of a solid of any other name."""

_ELEVATION = math.degrees(math.asin(1 / math.sqrt(3)))  # isometric: equal lengths along all three axes
_TURN = -45.0
_GAP = 12.0  # between parts, mm
_RIM = 4.0  # bare paper round the picture, mm
MOST_SAMPLES = 1_500_000
"""Samples that are drawn at a time; each takes some hundred bytes."""

_FINER = 2  # samples to a pixel each way, averaged for smooth edges
_LIGHT = np.array([-0.35, 0.55, 0.76])  # from the upper left, towards the viewer
_AMBIENT = 0.42
_EDGE_STEP = 0.6  # a step in depth over this from sample to sample is an outline, mm
_EDGE_SHADE = 0.55
_INKED = 0.45  # how much darker the die's face is drawn, so that the relief reads


def view_parts(solids: Sequence[Solid], *, width: int = 1200) -> NDArray[np.uint8]:
    """Return a picture of solids in printing position, (rows, ``width``, 3) uint8 on white, top row first.

    Raises :class:`~stampwright.errors.OutputError` when ``width`` is not from 100 to 8000 pixels.
    """
    if not 100 <= width <= 8000:
        raise OutputError(f"a picture {width} pixels wide is not made; it takes 100 to 8000")
    placed = [_seen(solid) for solid in _side_by_side(solids)]
    everything = np.concatenate([corners.reshape(-1, 3) for corners in placed])
    low, high = everything.min(axis=0) - _RIM, everything.max(axis=0) + _RIM
    pixel = (high[0] - low[0]) / (width * _FINER)
    rows = math.ceil((high[1] - low[1]) / pixel / _FINER) * _FINER
    picture = np.empty((rows // _FINER, width, 3), dtype=np.uint8)
    step = max(1, MOST_SAMPLES // (width * _FINER * _FINER))
    for first in range(0, len(picture), step):
        last = min(first + step, len(picture))
        # A little more on both sides, for the slopes and outlines at its edges.
        below = min(first, 1)
        sheet = _Sheet((float(low[0]), float(low[1]) + (first - below) * _FINER * pixel), pixel)
        band = _drawn(solids, placed, sheet, ((last + 1 - first + below) * _FINER, width * _FINER))
        smooth = band.reshape(-1, _FINER, width, _FINER, 3).mean(axis=(1, 3))
        picture[first:last] = np.rint(smooth[below : below + last - first]).astype(np.uint8)
    return picture[::-1]


@dataclass(frozen=True)
class _Sheet:
    """Where samples lie: the lower left corner of the first, and how far they are apart, mm."""

    corner: tuple[float, float]
    pixel: float

    def part(self, row: int, column: int) -> _Sheet:
        """Return the samples from a row and a column on."""
        return _Sheet((self.corner[0] + column * self.pixel, self.corner[1] + row * self.pixel), self.pixel)


def _drawn(
    solids: Sequence[Solid], placed: Sequence[NDArray[np.float64]], sheet: _Sheet, shape: tuple[int, int]
) -> NDArray[np.float32]:
    """Return colours of samples, (rows, columns, 3), 0 to 255, lowest row first; each part within its own bounds."""
    canvas = np.full((*shape, 3), 255.0, dtype=np.float32)
    nearest = np.full(shape, -np.inf, dtype=np.float32)
    for solid, corners in zip(solids, placed, strict=True):
        window = _window(corners, sheet, shape)
        own = sheet.part(window[0].start, window[1].start)
        held = nearest[window]
        # A single row or column is a neighbour at most, with nothing of the solid in it.
        if min(held.shape) < 2:
            continue
        depth = heights_over(_reaching(corners, own, held.shape), held.shape, own.corner, own.pixel).astype(np.float32)
        front = depth > held
        colours = canvas[window]
        colours[front] = _shaded(depth, own.pixel, PART_COLOURS.get(solid.name, OTHER))[front]
        if solid.name == "die":
            top = float(solid.vertices[:, 2].max())
            colours[front & _on_face(depth, own.pixel, own.corner[1], top)] *= _INKED
        np.maximum(held, depth, out=held)
    canvas[_outlines(nearest)] *= _EDGE_SHADE
    return canvas


def _window(corners: NDArray[np.float64], sheet: _Sheet, shape: tuple[int, int]) -> tuple[slice, slice]:
    """Return the rows and columns that a solid's triangles reach, with the neighbours that slopes are taken from."""
    low = (corners[..., :2].min(axis=(0, 1)) - sheet.corner) / sheet.pixel
    high = (corners[..., :2].max(axis=(0, 1)) - sheet.corner) / sheet.pixel
    starts = [min(max(math.floor(low[axis]) - 2, 0), shape[1 - axis]) for axis in (1, 0)]
    stops = [min(max(math.ceil(high[axis]) + 2, 0), shape[1 - axis]) for axis in (1, 0)]
    return slice(starts[0], stops[0]), slice(starts[1], stops[1])


def _reaching(corners: NDArray[np.float64], sheet: _Sheet, shape: tuple[int, int]) -> NDArray[np.float64]:
    """Return the triangles that reach the rows of a sheet."""
    top = sheet.corner[1] + shape[0] * sheet.pixel
    up = corners[..., 1]
    reaching: NDArray[np.float64] = corners[(up.max(axis=1) >= sheet.corner[1]) & (up.min(axis=1) <= top)]
    return reaching


def _side_by_side(solids: Sequence[Solid]) -> list[NDArray[np.float64]]:
    """Return each solid's triangles, (m, 3, 3), moved so that they stand along a line that runs across the picture."""
    placed = []
    reach = 0.0
    across = np.array([math.cos(math.radians(_TURN)), -math.sin(math.radians(_TURN))])
    for solid in solids:
        along = solid.vertices[:, :2] @ across
        middle = solid.vertices[:, :2].mean(axis=0)
        shift = (reach - along.min()) * across - (middle - (middle @ across) * across)
        placed.append((solid.vertices + np.append(shift, 0.0))[solid.triangles])
        reach += float(np.ptp(along)) + _GAP
    return placed


def _seen(corners: NDArray[np.float64]) -> NDArray[np.float64]:
    """Turn triangles so that the viewer looks down z: x to the right and y up in the picture."""
    turn, tilt = math.radians(_TURN), math.radians(_ELEVATION)
    x = corners[..., 0] * math.cos(turn) - corners[..., 1] * math.sin(turn)
    y = corners[..., 0] * math.sin(turn) + corners[..., 1] * math.cos(turn)
    z = corners[..., 2]
    up = y * math.sin(tilt) + z * math.cos(tilt)
    toward = -y * math.cos(tilt) + z * math.sin(tilt)
    return np.stack((x, up, toward), axis=-1)


def _shaded(depth: NDArray[np.float32], pixel: float, colour: tuple[int, int, int]) -> NDArray[np.float64]:
    """Return a surface's colour where it is seen, by the angle between its slope and the light (Lambert)."""
    ground = np.where(np.isfinite(depth), depth, 0.0)
    rise_y, rise_x = np.gradient(ground, pixel)
    normals = np.stack((-rise_x, -rise_y, np.ones_like(ground)), axis=-1)
    normals /= np.linalg.norm(normals, axis=-1, keepdims=True)
    light = np.clip(normals @ (_LIGHT / np.linalg.norm(_LIGHT)), 0.0, 1.0)
    shade = _AMBIENT + (1.0 - _AMBIENT) * light
    colours: NDArray[np.float64] = np.clip(shade[..., None] * np.array(colour) * 1.12, 0.0, 255.0)
    return colours


def _on_face(depth: NDArray[np.float32], pixel: float, low: float, top: float) -> NDArray[np.bool_]:
    """Return where what is seen lies at the height ``top`` of its solid; ``low``: of the picture's lower edge, mm."""
    tilt = math.radians(_ELEVATION)
    up = low + (np.arange(len(depth)) + 0.5) * pixel
    height = up[:, None] * math.cos(tilt) + depth * math.sin(tilt)
    at_top: NDArray[np.bool_] = height > top - 0.02
    return at_top


def _outlines(depth: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Return where a nearer surface ends before a farther one, or before the paper."""
    ground = np.where(np.isfinite(depth), depth, -1e6)
    step = np.zeros(depth.shape, dtype=bool)
    step[:-1] |= ground[:-1] - ground[1:] > _EDGE_STEP
    step[1:] |= ground[1:] - ground[:-1] > _EDGE_STEP
    step[:, :-1] |= ground[:, :-1] - ground[:, 1:] > _EDGE_STEP
    step[:, 1:] |= ground[:, 1:] - ground[:, :-1] > _EDGE_STEP
    return step & np.isfinite(depth)
