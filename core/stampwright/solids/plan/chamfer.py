"""Chamfers on the edges of plates: a strip between an outline and the same drawn in, sloping by its two heights."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from .delaunay import turn_diagonals
from .filling import fill
from .outlines import Outlines, outline

LEAST = 0.02
"""A chamfer narrower than this, mm, is none."""


def drawn_in(region: Polygon, by: float, what: str) -> Outlines | None:
    """Return a region's outline drawn in by ``by`` mm, corners sharp, or None where nothing sound is left of it.

    ``what`` it is goes into messages. Raises :class:`~stampwright.errors.SolidError` as ``outline`` does.
    """
    if by < LEAST:
        return None
    inner = shapely.buffer(region, -by, join_style="mitre")
    if not isinstance(inner, Polygon | MultiPolygon) or inner.is_empty or not region.contains_properly(inner):
        return None
    return outline(inner, what)


def strip(outer: Outlines, inner: Outlines) -> NDArray[np.int64]:
    """Return triangles, (m, 3), between an outline and one inside it, numbered as by ``fill``.

    They are Delaunay's, so that along a curve each reaches from one outline to the other and the strip slopes evenly.
    """
    points = np.concatenate((outer.points, inner.points))
    return turn_diagonals(points, fill(outer, inner))
