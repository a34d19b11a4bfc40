"""A face's grain as a height map: from figures or a picture, no finer than the printer lays, and not on plain ink."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...findings import Finding
from ...job.sections.face import FaceSection
from ...solids.plan.even import cells_within
from ..face_map import Bounds, FaceMap, Points, untouched
from .grains import GRAINS

Grey = NDArray[np.floating]
"""(rows, columns), 0 black to 1 white, top row first."""


@dataclass(frozen=True)
class Bead:
    """The bead that a printer lays: extrusion width and layer height, mm."""

    line_width: float
    layer: float


@dataclass(frozen=True, eq=False)
class LaidPicture:
    """A picture on paper: ``grey``, its width there, mm, and its turn, degrees; its middle is at the origin."""

    grey: Grey
    width: float
    turn: float = 0.0

    def __eq__(self, other: object) -> bool:
        """Whether the other is the same picture in the same place."""
        if not isinstance(other, LaidPicture):
            return NotImplemented
        same_place = (self.width, self.turn) == (other.width, other.turn)
        return same_place and (self.grey is other.grey or np.array_equal(self.grey, other.grey))

    def __hash__(self) -> int:
        """Return a number that equal pictures share."""
        return hash((self.grey.shape, self.width, self.turn))

    @property
    def size(self) -> tuple[float, float]:
        """Width and height on paper before turning, mm."""
        rows, columns = self.grey.shape
        return self.width, self.width * rows / columns

    def within(self, places: Points) -> Points:
        """Return ``places``, (n, 2) mm, as columns and rows from the picture's lower left corner."""
        turned = _turned(places, -self.turn)
        steps: Points = (turned + np.array(self.size) / 2) * (self.grey.shape[1] / self.width)
        return steps


def lay_picture(grey: Grey, bounds: Bounds, *, width: float = 0.0, turn: float = 0.0) -> LaidPicture:
    """Return a picture on paper; without a width it covers ``bounds``, mm, about the origin."""
    rows, columns = grey.shape
    half_width, half_height = max(-bounds[0], bounds[2]), max(-bounds[1], bounds[3])
    return LaidPicture(grey, width or 2 * max(half_width, half_height * columns / rows), turn)


def make_grain(
    face: FaceSection,
    bounds: Bounds,
    spacing: float,
    bead: Bead,
    *,
    depth: float,
    plain: MultiPolygon | None = None,
    picture: LaidPicture | None = None,
) -> tuple[FaceMap | None, tuple[Finding, ...]]:
    """Return the height map of the texture that a job asks for, or None without one, and what is to be said of it.

    ``bounds``: the ink's, mm, paper frame. ``spacing``: of the samples, mm. ``depth``: of the deepest texture, mm.
    ``plain``: where the face stays untouched. ``picture``: for the texture of that name.
    """
    if face.texture == "none" or (face.texture == "picture" and picture is None):
        return None, ()
    room = 2 * spacing
    held = untouched((bounds[0] - room, bounds[1] - room, bounds[2] + room, bounds[3] + room), spacing)
    deepest = depth * face.strength
    findings = list(_too_shallow(deepest, bead.layer))
    if picture is not None and face.texture == "picture":
        share = 1.0 - brightness(picture, held.samples, across=bead.line_width)
    else:
        grain = GRAINS[face.texture]
        scale = max(face.scale, bead.line_width / grain.narrowest)
        if scale > face.scale + 1e-9:
            findings.append(_too_fine(face, scale, grain.narrowest, bead.line_width))
        share = grain.depth_at(_turned(held.samples, -face.turn), scale, face.seed)
    heights = (-deepest * share).astype(np.float32).reshape(held.heights.shape)
    if plain is not None and not plain.is_empty:
        heights[samples_within(plain, held)] = 0.0
    return replace(held, heights=heights), tuple(findings)


def brightness(picture: LaidPicture, places: Points, *, across: float) -> NDArray[np.float64]:
    """Return the picture's brightness at ``places``, (n, 2) mm, as the mean over a square ``across`` mm wide.

    Outside of the picture it is white. A square is no smaller than a pixel.
    """
    rows, columns = picture.grey.shape
    dark = np.zeros((rows + 1, columns + 1))
    np.cumsum(1.0 - picture.grey[::-1], axis=0, out=dark[1:, 1:])
    np.cumsum(dark[1:, 1:], axis=1, out=dark[1:, 1:])
    half = max(across * columns / picture.width, 1.0) / 2
    steps = picture.within(places)
    low, high = steps - half, steps + half

    def up_to(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
        # All that is dark left of x and below y: between corners of pixels the sum is bilinear.
        x, y = np.clip(x, 0.0, columns), np.clip(y, 0.0, rows)
        column, row = np.minimum(x.astype(np.intp), columns - 1), np.minimum(y.astype(np.intp), rows - 1)
        right, up = x - column, y - row
        below = dark[row, column] * (1 - right) + dark[row, column + 1] * right
        above = dark[row + 1, column] * (1 - right) + dark[row + 1, column + 1] * right
        return np.asarray(below * (1 - up) + above * up)

    held = up_to(high[:, 0], high[:, 1]) - up_to(low[:, 0], high[:, 1])
    held -= up_to(high[:, 0], low[:, 1]) - up_to(low[:, 0], low[:, 1])
    bright: NDArray[np.float64] = np.clip(1.0 - held / (2 * half) ** 2, 0.0, 1.0)
    return bright


def samples_within(region: MultiPolygon, held: FaceMap) -> NDArray[np.bool_]:
    """Return which samples of a map, (rows, columns), lie in a region, mm, paper frame."""
    rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(region)))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    # A sample is the middle of its cell.
    steps = held.steps(points) + 0.5
    whole = ring[:-1] == ring[1:]
    rows, columns = held.heights.shape
    return cells_within(steps[:-1][whole], steps[1:][whole], (rows, columns))


def _turned(places: Points, degrees: float) -> Points:
    turn = np.radians(degrees)
    turned: Points = places @ np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return turned


def _too_fine(face: FaceSection, scale: float, narrowest: float, line_width: float) -> Finding:
    return Finding(
        kind="texture too fine",
        severity="warns",
        stage="build",
        message=f"{face.texture} of {face.scale:g} mm has ridges and grooves of {face.scale * narrowest:.2f} mm, "
        f"narrower than the printer's line of {line_width:g} mm; it is made at {scale:.2f} mm",
        remedy=f"Set face.scale to {scale:.2f} mm or more, or print with a finer nozzle.",
        measured=face.scale,
        limit=scale,
    )


def _too_shallow(deepest: float, layer: float) -> list[Finding]:
    if deepest >= layer - 1e-9:
        return []
    return [
        Finding(
            kind="texture too shallow",
            severity="warns",
            stage="build",
            message=f"the texture is {deepest:.2f} mm deep, less than a layer of {layer:g} mm: little of it is printed",
            remedy="Raise face.strength or face.depth, or print in thinner layers.",
            measured=deepest,
            limit=layer,
        )
    ]
