"""Regions: what of a geometry ink can fill."""

from __future__ import annotations

import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry


def filled_parts(geometry: BaseGeometry) -> MultiPolygon:
    """Return the filled parts of any geometry; the lines, points and areas of no size that overlays leave are left out.

    >>> filled_parts(shapely.union(shapely.box(0, 0, 1, 1), shapely.Point(5, 5))).area
    1.0
    """
    # A collection may hold multipolygons.
    parts = shapely.get_parts(shapely.get_parts(geometry))
    return MultiPolygon([part for part in parts if isinstance(part, Polygon) and part.area > 0])
