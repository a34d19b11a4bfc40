"""Straight prisms over outlines."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..errors import SolidError
from .kernel import triangulate
from .outlines import Rings, snapped_rings
from .types import Solid


def extrude(region: Polygon | MultiPolygon, bottom: float, top: float, *, name: str) -> Solid:
    """Return the straight prism over ``region`` from height ``bottom`` to ``top``, mm.

    Raises :class:`SolidError` when the region is empty or the heights leave nothing between them.
    """
    low, high = (float(np.float32(height)) for height in (bottom, top))
    if not low < high:
        raise SolidError(f"{name}: it would reach from {bottom:g} to {top:g} mm, which leaves no height")
    rings = snapped_rings(region, f"the outline of the {name}")
    points = np.concatenate(rings)
    lids = triangulate(rings)
    count = len(points)
    walls = ring_walls(rings, lower=0, upper=count)
    vertices = np.column_stack((np.tile(points, (2, 1)), np.repeat((low, high), count)))
    return Solid(name, vertices, np.concatenate((lids[:, ::-1], lids + count, walls)).astype(np.int32))


def ring_walls(rings: Rings, *, lower: int, upper: int) -> NDArray[np.int64]:
    """Return the triangles of upright walls on rings whose points are numbered from ``lower`` and from ``upper``."""
    here = np.arange(sum(len(ring) for ring in rings))
    following = next_in_ring(rings)
    low, low_next, high, high_next = here + lower, following + lower, here + upper, following + upper
    return np.concatenate(
        (np.column_stack((low, low_next, high_next)), np.column_stack((low, high_next, high))), dtype=np.int64
    )


def next_in_ring(rings: Rings) -> NDArray[np.int64]:
    """Return, for the points of all rings numbered in order, the number of the point that follows in the same ring."""
    sizes = np.array([len(ring) for ring in rings])
    following = np.arange(1, sizes.sum() + 1)
    ends = np.cumsum(sizes)
    following[ends - 1] = ends - sizes
    return following
