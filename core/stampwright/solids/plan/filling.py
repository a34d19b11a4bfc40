"""Regions between outlines filled with triangles that have area."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from ...errors import SolidError
from ...plane.beside import look_beside
from ..kernel import triangulate
from .delaunay import turn_diagonals
from .joining import join_holes
from .outlines import Outlines

MANY_RINGS = 200
"""With more rings than this, holes are joined before triangulating."""

PARTED = 8_000
"""Points from which on it is worth it to triangulate each part by itself."""

_TURNS = (0.0, 0.7, 1.9, 3.3, 4.4, 5.9)
"""Radians by which the plan is turned until it is triangulated well; no two of them a right angle apart."""


def fill(outer: Outlines, inner: Outlines | None = None) -> NDArray[np.int64]:
    """Return triangles, (m, 3), that fill the region of ``outer`` without that of ``inner``, which must lie inside it.

    Numbers count the points of ``outer`` first, then those of ``inner``. Every edge of an outline is in one triangle.

    Raises :class:`~stampwright.errors.SolidError` when the outlines cross each other.
    """
    points, numbers, sizes = outer.points, np.arange(len(outer.points)), np.diff(outer.starts)
    if inner is not None:
        # Run backwards, inner rings are holes, and their holes are outer rings.
        flip = np.repeat(inner.starts[:-1] + inner.starts[1:] - 1, np.diff(inner.starts)) - np.arange(len(inner.points))
        points = np.concatenate((points, inner.points[flip]))
        numbers = np.concatenate((numbers, len(outer.points) + flip))
        sizes = np.concatenate((sizes, np.diff(inner.starts)))
    return numbers[fill_rings(points, sizes)]


def fill_rings(points: NDArray[np.float64], sizes: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return triangles, (m, 3), all counter-clockwise, that fill the region to the left of rings.

    ``points``: (n, 2) float, mm, ring after ring; ``sizes``: how many points each ring has. Raises
    :class:`SolidError` when the rings cross, so that no such triangles are found.
    """
    if len(sizes) > MANY_RINGS:
        order, sizes = join_holes(Outlines(points, np.concatenate(([0], np.cumsum(sizes)))))
        triangles = _fill(points[order], sizes)
        return order[triangles]
    return _fill(points, sizes)


def _fill(points: NDArray[np.float64], sizes: NDArray[np.int64]) -> NDArray[np.int64]:
    ends = np.cumsum(sizes)
    rings = [np.arange(first, last) for first, last in zip((ends - sizes).tolist(), ends.tolist(), strict=True)]
    parts = [[rings[ring] for ring in part] for part in _parted(points, sizes)]
    for angle in _TURNS:
        # Seldom, about once in four hundred icons, the triangulator folds a triangle over; seen from elsewhere it
        # does not. Folded triangles tell by their sign, which is exact on the grid.
        seen = points @ _rotation(angle) if angle else points
        triangles = np.concatenate([_triangulated(seen, part) for part in parts])
        sign = turning(points, triangles)
        if (sign == 0).any() and (sign >= 0).all():
            triangles = turn_diagonals(points, triangles)
            sign = turning(points, triangles)
        if (sign > 0).all():
            return triangles
    raise SolidError("outlines cross each other, so the region between them cannot be filled")


def _triangulated(points: NDArray[np.float64], rings: list[NDArray[np.int64]]) -> NDArray[np.int64]:
    """Return triangles, (m, 3), between rings, given by the numbers of their points."""
    return np.concatenate(rings)[triangulate([points[ring] for ring in rings])]


def _parted(points: NDArray[np.float64], sizes: NDArray[np.int64]) -> list[list[int]]:
    """Return the numbers of rings part by part, each ring with its holes: the triangulator looks at all for each hole.

    Rings stay all together where only one has holes, or where that would be dear to tell.
    """
    outlines = Outlines(points, np.concatenate(([0], np.cumsum(sizes))))
    together = [list(range(len(sizes)))]
    outer = outlines.ring_areas() > 0
    if len(points) < PARTED or outer.sum() < 2 or outer.all():
        return together
    beside = look_beside(outlines.curves)
    if beside is None or beside.meet.any():
        return together
    around = beside.innermost(*beside.holding())
    owner = np.where(outer, np.arange(len(sizes)), around)
    if (owner < 0).any() or not outer[owner].all():
        return together
    parts: dict[int, list[int]] = {ring: [ring] for ring in np.flatnonzero(outer).tolist()}
    for hole in np.flatnonzero(~outer).tolist():
        parts[int(owner[hole])].append(hole)
    return list(parts.values())


def turning(points: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.float64]:
    """Return twice the area of triangles, (m, 3) numbers of ``points`` (n, 2): above 0 where counter-clockwise."""
    a, b, c = points[triangles[:, 0]], points[triangles[:, 1]], points[triangles[:, 2]]
    doubled: NDArray[np.float64] = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return doubled


def _rotation(angle: float) -> NDArray[np.float64]:
    return np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
