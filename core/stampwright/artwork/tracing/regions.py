"""Regions: rings as valid polygons with their holes, at true size."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...plane.overlays import all_joined
from ...plane.regions import all_valid
from .contours import Rings, trace_contours

_MOST_MENDED = 20_000
"""Points of a polygon up to which crossings are mended; for larger ones that takes too long."""

_CRUMB = 1e-6
"""Pixels of a part under which it is rounding."""


def outline_below(height: NDArray[np.float32], pixel: tuple[float, float]) -> MultiPolygon:
    """Return the regions where ``height`` is below 0, just as interpolated; mm from the lower-left corner.

    ``height``: (rows, columns), top row first. ``pixel``: width and height of one, mm.
    """
    rings = trace_contours(height)
    rings = rings.only(rings.counts >= 3)
    return as_regions(rings, rings, pixel)


def as_regions(fitted: Rings, traced: Rings, pixel: tuple[float, float]) -> MultiPolygon:
    """Return rings as valid regions, mm; ``pixel``: width and height of one, mm.

    Fitted curves of close neighbours, or of a narrow waist, may cross by up to the tolerance. Such crossings are
    mended; in a polygon too large for that, the rings as traced take their place, for those never cross.
    """
    if not len(fitted.counts):
        return MultiPolygon()
    polygons = _polygons(fitted, pixel)
    large = ~shapely.is_valid(polygons) & (shapely.get_num_coordinates(polygons) > _MOST_MENDED)
    if large.any():
        polygons[large] = _polygons(traced, pixel)[large]
    parts = _seen(all_valid(polygons), pixel)
    whole = MultiPolygon(list(parts))
    return whole if whole.is_valid else MultiPolygon(list(_seen(all_joined(parts), pixel)))


def _seen(regions: object, pixel: tuple[float, float]) -> NDArray[np.object_]:
    """Return the parts of regions; where corners of rings meet, rounding leaves crumbs that no pixel ever held."""
    parts: NDArray[np.object_] = shapely.get_parts(regions)
    seen: NDArray[np.object_] = parts[shapely.area(parts) > _CRUMB * pixel[0] * pixel[1]]
    return seen


def _polygons(rings: Rings, pixel: tuple[float, float]) -> NDArray[np.object_]:
    lines = shapely.linearrings(rings.points * pixel, indices=rings.owners)
    # Holes follow the outer ring that holds them.
    polygons: NDArray[np.object_] = shapely.polygons(lines, indices=np.cumsum(~rings.holes) - 1)
    return polygons
