"""Pressure on a die's face, at the vertices of a sheet that lies on it, in colours that nobody's eyes confuse."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..looks.colours import ramp
from ..plane.frames import die_to_paper
from ..solids import Solid, refine
from .impression import HeightMap, Pressing
from .pushing.relief import Blocks, windowed

Floats = NDArray[np.float64]

FINE = 0.8
"""Longest edge of a mesh that pressure is shown on, mm, about: the face's own triangles span all of a broad area."""

_SIDE = 0.25  # mm; pressure is averaged over squares of this side and their neighbours, or beads would hide the whole
_FACING_UP = 0.87  # least upward part of a unit normal that can be face: a flank flared by 60 degrees has less
_RAISED = 0.9  # of the relief; what lies lower than this under the highest place is floor

_STOPS = np.array(ramp(17))


@dataclass(frozen=True, eq=False)
class PressureMap:
    """The face of a die with the pressure on it.

    ``vertices``, (n, 3) float, mm, die frame, and ``triangles``, (m, 3) int: the face, in triangles fine enough to show
    it. ``pressure``: (n,) float, MPa. ``top``: pressure at the upper end of the scale, MPa.
    """

    vertices: Floats
    triangles: NDArray[np.int32]
    pressure: Floats
    top: float

    @property
    def colours(self) -> NDArray[np.float32]:
        """Colours of the vertices, (n, 3) float, sRGB, as of :func:`scale_colours`."""
        return scale_colours(self.pressure / self.top)


def map_pressure(die: Solid, pressing: Pressing, *, fine: float = FINE) -> PressureMap:
    """Return the face of a die, die frame, with the pressure of a push on it, averaged over half a millimetre.

    ``fine``: longest edge of the triangles, mm, about.
    """
    solid = refine(die, fine)
    corners = die_to_paper(solid.vertices)[solid.triangles]
    along, across = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    # The way to the paper frame turns triangles over.
    normals = -np.cross(along, across)
    upright = normals[:, 2] > _FACING_UP * np.linalg.norm(normals, axis=1)
    face = pressing.face
    middles = corners.mean(axis=1)
    row, column = _pixels(face, middles)
    # A pixel at the face's edge covers some of the floor at its foot too.
    raised = middles[:, 2] > middles[:, 2].max() - _RAISED * face.relief
    shown = upright & raised & face.face[row, column]
    used, triangles = np.unique(solid.triangles[shown], return_inverse=True)
    vertices = solid.vertices[used]
    pressure = _averaged(pressing).at(*_pixels(face, die_to_paper(vertices)))
    return PressureMap(vertices, triangles.reshape(-1, 3).astype(np.int32), pressure, scale_top(pressing))


def pressure_on(vertices: Floats, pressing: Pressing) -> NDArray[np.float32]:
    """Return the pressure at points of a face, (n, 3) float, mm, die frame: (n,) MPa, averaged as the map's is.

    A point that lies half a pixel or more off what the press takes for the face has none: the bottom of a groove.
    """
    face, places = pressing.face, die_to_paper(vertices)
    # A pixel at the rim may count as floor, and points of a plain face all lie on its rim.
    corners = face.pitch / 2.0 * np.array([(-1, -1, 0), (-1, 1, 0), (1, -1, 0), (1, 1, 0)], dtype=np.float64)
    near = np.logical_or.reduce([face.face[_pixels(face, places + corner)] for corner in corners])
    return np.where(near, _averaged(pressing).at(*_pixels(face, places)), 0.0).astype(np.float32)


def scale_top(pressing: Pressing) -> float:
    """Return the upper end of the scale on which :func:`map_pressure` shows a push, MPa."""
    return _round_up(float(_averaged(pressing).values.max()))


def scale_colours(share: Floats) -> NDArray[np.float32]:
    """Return the colours of shares of the scale, 0 to 1, any shape: sRGB in a last axis of three.

    >>> scale_colours(np.zeros((4, 2))).shape
    (4, 2, 3)
    """
    stops = np.linspace(0.0, 1.0, len(_STOPS))
    channels = [np.interp(share, stops, channel).astype(np.float32) for channel in _STOPS.T]
    return np.stack(channels, axis=-1)


def _round_up(pressure: float) -> float:
    """Return the next of 1, 2, 5, 10, 20 ... up from a pressure, as the end of a scale.

    >>> _round_up(0.17), _round_up(0.5)
    (0.2, 0.5)
    """
    if pressure <= 0.0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(pressure))
    return next(round(step * power, 9) for step in (1.0, 2.0, 5.0, 10.0) if step * power >= pressure * (1.0 - 1e-9))


def _pixels(face: HeightMap, places: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return row and column of the pixel at each place, (n, 2 or more) mm, held within the map."""
    column, row = np.floor((places[:, :2] - face.corner) / face.pitch).astype(np.intp).T
    rows, columns = face.face.shape
    return np.clip(row, 0, rows - 1), np.clip(column, 0, columns - 1)


def _averaged(pressing: Pressing) -> Blocks:
    """Return the mean pressure on the face round about, by squares."""
    face = pressing.face
    side = max(1, round(_SIDE / face.pitch))
    rows, columns = (math.ceil(size / side) for size in face.face.shape)
    wide = ((0, rows * side - face.face.shape[0]), (0, columns * side - face.face.shape[1]))

    def summed(values: NDArray[np.floating] | NDArray[np.bool_]) -> Floats:
        squares = np.pad(values, wide).reshape(rows, side, columns, side)
        return np.asarray(squares.sum(axis=(1, 3), dtype=np.float64))

    load, area = windowed(summed(np.where(face.face, pressing.pressure, 0.0)), 1), windowed(summed(face.face), 1)
    return Blocks(np.divide(load, area, out=np.zeros_like(load), where=area > 0.5), side)
