"""Filled regions from rings that may cross themselves and each other, by true winding numbers, and their unions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from ...plane.overlays import all_joined
from ...plane.rings import fill_nested, nest_rings
from ..limits import DEFAULTS, Limits
from .crossing import NOTHING, PathFillRule, check_beside, filled_crossing, united_heap
from .curves import Points

SAMPLE = 200
"""How many regions are looked at to judge how much a drawing overlaps itself."""

HEAP = 20
"""Neighbours that each region touches on average, above which regions are united as a heap."""


DEEP_HEAP = 200
"""Neighbours on average above which clipping all of them together is quicker than uniting one after the other."""


def filled(rings: Sequence[Points], rule: PathFillRule, limits: Limits = DEFAULTS) -> BaseGeometry:
    """Return the region that ``rings`` fill, a valid Polygon or MultiPolygon (perhaps empty).

    ``rings``: (n, 2) float arrays, each closed by a line from its last point to its first. A point is inside when its
    winding number is not zero, or is odd (SVG 2, section 13.4.2). Raises :class:`ArtworkError` past a limit.
    """
    cleaned = [ring for ring in map(_without_repeats, rings) if len(ring) >= 3]
    if not cleaned:
        return NOTHING
    check_beside(cleaned, limits)
    if len(cleaned) == 1:
        polygon = shapely.polygons(cleaned[0])
        return polygon if shapely.is_valid(polygon) else filled_crossing(cleaned, rule, limits)
    nested = nest_rings(cleaned)
    if nested is None and rule == "nonzero":
        # Many a drawing has rings that overlap, none crossing itself and all turning alike: their union.
        polygons = _polygons(cleaned)
        alike = abs(sum(np.sign(turning(ring)) for ring in cleaned)) == len(cleaned)
        if alike and shapely.is_valid(polygons).all():
            return united(list(polygons), limits)
    region = None if nested is None else fill_nested(nested, rule)
    return region if region is not None else filled_crossing(cleaned, rule, limits)


def filled_each(rings: Sequence[Points], limits: Limits = DEFAULTS) -> list[BaseGeometry]:
    """Return what each ring fills by itself, where it winds at all; much quicker than one by one."""
    rings = [ring for ring in map(_without_repeats, rings) if len(ring) >= 3]
    if not rings:
        return []
    polygons = _polygons(rings)
    sound = shapely.is_valid(polygons)
    return [
        polygon if valid else filled_crossing([ring], "nonzero", limits)
        for polygon, valid, ring in zip(polygons, sound, rings, strict=True)
    ]


def united(regions: Sequence[BaseGeometry], limits: Limits = DEFAULTS) -> BaseGeometry:
    """Return the union of regions, cheaply where few of them touch; raises :class:`ArtworkError` past a limit."""
    given = np.array([region for region in regions if not region.is_empty], dtype=object)
    if len(given) == 0:
        return NOTHING
    if len(given) == 1:
        return given[0]
    # Uniting only what touches is much the quickest for scattered regions, and hopeless for a heap of them.
    sample = given[:: max(1, len(given) // SAMPLE)]
    touching = shapely.STRtree(given).query(sample).shape[1] / len(sample)
    if touching > DEEP_HEAP:
        # As when a pen is far wider than the line that it draws: all its pieces lie over each other.
        region = united_heap(shapely.get_parts(given), limits)
        if region is not None:
            return region
    return all_joined(given, scattered=touching <= HEAP)


def turning(ring: Points) -> float:
    """Return twice the signed area of a ring, positive when it turns counter-clockwise with y up."""
    x, y = (ring - ring[0]).T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))


def _without_repeats(ring: Points) -> Points:
    """Drop points equal to the one before them, and the last when it equals the first."""
    if len(ring) > 1 and ring[0, 0] == ring[-1, 0] and ring[0, 1] == ring[-1, 1]:
        ring = ring[:-1]
    same = (ring[1:] == ring[:-1]).all(axis=1)
    return ring[np.append(True, ~same)] if same.any() else ring


def _polygons(rings: Sequence[Points]) -> Any:
    lengths = np.array([len(ring) for ring in rings])
    owner = np.repeat(np.arange(len(rings)), lengths)
    return shapely.polygons(shapely.linearrings(np.concatenate(rings), indices=owner))
