"""Straight prisms over outlines."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..errors import SolidError
from .kernel import triangulate
from .plan.outlines import Outlines, outline
from .solid import Solid


def extrude(region: Polygon | MultiPolygon, bottom: float, top: float, *, name: str) -> Solid:
    """Return the straight prism over ``region`` from height ``bottom`` to ``top``, mm.

    Raises :class:`SolidError` when the region is empty or the heights leave nothing between them.
    """
    low, high = (float(np.float32(height)) for height in (bottom, top))
    if not low < high:
        raise SolidError(f"{name}: it would reach from {bottom:g} to {top:g} mm, which leaves no height")
    outlines = outline(region, f"the outline of the {name}")
    count = len(outlines.points)
    lids = triangulate(outlines.rings())
    walls = walls_between(outlines, lower=0, upper=count)
    vertices = np.column_stack((np.tile(outlines.points, (2, 1)), np.repeat((low, high), count)))
    return Solid(name, vertices, np.concatenate((lids[:, ::-1], lids + count, walls)).astype(np.int32))


def walls_between(outlines: Outlines, *, lower: int, upper: int) -> NDArray[np.int64]:
    """Return the triangles of upright walls on outlines whose points are numbered from ``lower`` and from ``upper``."""
    here, following = np.arange(len(outlines.points)), outlines.following
    low, low_next, high, high_next = here + lower, following + lower, here + upper, following + upper
    return np.concatenate(
        (np.column_stack((low, low_next, high_next)), np.column_stack((low, high_next, high))), dtype=np.int64
    )
