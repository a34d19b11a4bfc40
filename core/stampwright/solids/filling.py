"""Regions between outlines filled with triangles that have area."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .delaunay import turn_diagonals
from .kernel import triangulate
from .outlines import Outlines


def fill(outer: Outlines, inner: Outlines | None = None) -> NDArray[np.int64]:
    """Return triangles, (m, 3), that fill the region of ``outer`` without that of ``inner``, which must lie inside it.

    Numbers count the points of ``outer`` first, then those of ``inner``. Every edge of an outline is in one triangle.
    """
    points, numbers, sizes = outer.points, np.arange(len(outer.points)), np.diff(outer.starts)
    if inner is not None:
        # Run backwards, inner rings are holes, and their holes are outer rings.
        flip = np.repeat(inner.starts[:-1] + inner.starts[1:] - 1, np.diff(inner.starts)) - np.arange(len(inner.points))
        points = np.concatenate((points, inner.points[flip]))
        numbers = np.concatenate((numbers, len(outer.points) + flip))
        sizes = np.concatenate((sizes, np.diff(inner.starts)))
    triangles = triangulate(np.split(points, np.cumsum(sizes)[:-1])).astype(np.int64)
    if not turn_left(points, triangles).all():
        triangles = turn_diagonals(points, triangles)
    return numbers[triangles]


def turn_left(points: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Whether each triangle, (m, 3) numbers of ``points`` (n, 2), runs counter-clockwise; exact on the grid."""
    a, b, c = points[triangles[:, 0]], points[triangles[:, 1]], points[triangles[:, 2]]
    left: NDArray[np.bool_] = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) > (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return left
