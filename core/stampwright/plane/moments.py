"""Moments of regions: where they balance, and how far their area reaches from there."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon


class Moments(NamedTuple):
    """Area, mm²; centre of area, (2,) mm; and mean products of offsets from it, (2, 2) mm²."""

    area: float
    centre: NDArray[np.float64]
    spread: NDArray[np.float64]


def moments_of(region: MultiPolygon | Polygon) -> Moments:
    """Return the moments of a region that has area.

    Sums over edges by Green's theorem (Steger 1996, "On the calculation of arbitrary moments of polygons").

    >>> moments = moments_of(shapely.box(0, 0, 6, 2))
    >>> round(moments.area, 9), moments.centre.tolist(), moments.spread.round(6).tolist()
    (12.0, [3.0, 1.0], [[3.0, 0.0], [0.0, 0.333333]])
    """
    parts = shapely.orient_polygons(shapely.get_parts(region))
    points, ring = shapely.get_coordinates(shapely.get_rings(parts), return_index=True)
    # About a point nearby: far from the origin the sums would lose their digits.
    near = points.mean(axis=0)
    points = points - near
    same = ring[1:] == ring[:-1]
    (x0, y0), (x1, y1) = points[:-1][same].T, points[1:][same].T
    cross = x0 * y1 - x1 * y0
    area = cross.sum() / 2
    middle = np.array([((x0 + x1) * cross).sum(), ((y0 + y1) * cross).sum()]) / (6 * area)
    xx = ((x0 * x0 + x0 * x1 + x1 * x1) * cross).sum() / 12
    yy = ((y0 * y0 + y0 * y1 + y1 * y1) * cross).sum() / 12
    xy = ((x0 * y1 + 2 * x0 * y0 + 2 * x1 * y1 + x1 * y0) * cross).sum() / 24
    spread = np.array([[xx, xy], [xy, yy]]) / area - np.outer(middle, middle)
    return Moments(float(area), near + middle, spread)
