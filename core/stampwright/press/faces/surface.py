"""The face as it comes from the printer, and as abrasive paper leaves it."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ...plane.rasters.distance import distance_inside
from ..impression import HeightMap

Floats = NDArray[np.float64]


def lay_beads(face: HeightMap, line_width: float, layer: float, walls: int, angle: float) -> HeightMap:
    """Return the face with the ridges of its top layer: ``walls`` beads along every edge, straight ones within.

    ``line_width`` and ``layer`` mm; ``angle`` of the straight beads, degrees counter-clockwise on paper.
    """
    spacing = bead_spacing(line_width, layer)
    limit = (line_width + walls * spacing) / face.pitch
    # From the edge itself, which lies half a pixel beyond the last pixel's middle.
    inward = (distance_inside(face.face, limit) - 0.5) * face.pitch
    bead = np.clip(np.rint((inward - line_width / 2.0) / spacing), 0, walls - 1)
    off_middle = np.abs(inward - line_width / 2.0 - bead * spacing)
    turn = math.radians(angle)
    across = face.y[:, None] * math.cos(turn) - face.x[None, :] * math.sin(turn)
    straight = np.abs(across - np.rint(across / spacing) * spacing)
    along_walls = inward < line_width / 2.0 + (walls - 0.5) * spacing
    drop = bead_drop(np.where(along_walls, off_middle, straight), line_width, layer)
    return _lowered(face, drop, face.face)


def bow_out(face: HeightMap, bow: float) -> HeightMap:
    """Return the face bent so that its middle stands ``bow`` mm over its farthest place; below 0, under it.

    The relief bends with it: low places of an uneven face that are not meant to print do not come forward.
    """
    meant = np.argwhere(face.face)
    if not len(meant) or bow == 0.0:
        return face
    low, high = meant.min(axis=0), meant.max(axis=0)
    x, y = face.x, face.y
    middle_x, middle_y = (x[low[1]] + x[high[1]]) / 2.0, (y[low[0]] + y[high[0]]) / 2.0
    away = (x[None, :] - middle_x) ** 2 + (y[:, None] - middle_y) ** 2
    fall = bow * away / float(away[face.face].max())
    return _lowered(face, fall - min(bow, 0.0), face.face | (face.height > -face.relief / 2.0))


def dress(face: HeightMap, depth: float) -> HeightMap:
    """Return the face cut to a plane ``depth`` mm below its highest point."""
    level = float(np.max(face.height, initial=-np.inf, where=np.isfinite(face.height))) - depth
    return replace(face, height=np.minimum(face.height, np.asarray(level, dtype=face.height.dtype)))


def bead_spacing(line_width: float, layer: float) -> float:
    """Return the distance of neighbouring beads, mm: width less what rounding leaves, w - h (1 - pi/4).

    As a slicer's flow calculation has it, for beads with half-round sides.

    >>> round(bead_spacing(0.4, 0.2), 6)
    0.35708
    """
    return line_width - layer * (1.0 - math.pi / 4.0)


def bead_drop(off_middle: Floats, line_width: float, layer: float) -> Floats:
    """Return how far a bead's top lies below its crown at a distance from its middle, mm; half-round at its sides.

    Half-way to the next bead that is h/2 (1 - sqrt(1 - (pi/4)²)), 0.19 of the layer.
    """
    radius = layer / 2.0
    beyond = np.clip(off_middle - (line_width - layer) / 2.0, 0.0, radius)
    return np.asarray(radius - np.sqrt(radius**2 - beyond**2))


def roughness(face: HeightMap) -> float:
    """Return the mean deviation of the face from its mean height (Ra), mm; 0 for no face."""
    heights = face.height[face.face]
    return float(np.abs(heights - heights.mean(dtype=np.float64)).mean()) if heights.size else 0.0


def _lowered(face: HeightMap, drop: Floats, where: NDArray[np.bool_]) -> HeightMap:
    height = np.where(where, face.height - drop, face.height)
    return replace(face, height=height.astype(face.height.dtype))
