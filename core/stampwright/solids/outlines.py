"""Outlines as rings of points on a grid that 32-bit floats hold exactly, so that a file changes nothing in them."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..errors import SolidError

GRID = 2.0**-12
"""Spacing of the grid, mm; a 32-bit float holds every multiple of it up to 4096 mm."""

Rings = list[NDArray[np.float64]]


def snapped_rings(region: Polygon | MultiPolygon, what: str) -> Rings:
    """Return the region's rings on the grid, outer ones counter-clockwise, holes clockwise, last point not repeated.

    Points that the grid makes equal or that lie straight between their neighbours are dropped. Raises
    :class:`SolidError`, naming ``what``, when nothing is left.
    """
    snapped = shapely.set_precision(region, GRID)
    polygons = [part for part in shapely.get_parts(snapped) if part.geom_type == "Polygon" and not part.is_empty]
    rings: Rings = []
    for polygon in shapely.orient_polygons(polygons):
        for ring in (polygon.exterior, *polygon.interiors):
            points = _without_straight_points(shapely.get_coordinates(ring)[:-1])
            if len(points) >= 3:
                rings.append(points)
    if not rings:
        raise SolidError(f"{what} is empty or smaller than {GRID:.4f} mm; there is nothing to build")
    return rings


def _without_straight_points(points: NDArray[np.float64]) -> NDArray[np.float64]:
    while len(points) >= 3:
        before = points - np.roll(points, 1, axis=0)
        after = np.roll(points, -1, axis=0) - points
        bent = before[:, 0] * after[:, 1] != before[:, 1] * after[:, 0]
        if bent.all():
            break
        points = points[bent]
    return points
