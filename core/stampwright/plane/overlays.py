"""Overlays that fail on nothing: where edges all but coincide, they are worked out again on a grid.

The kernel then raises an error, or says nothing and gives no area, or one that cannot be (GEOS 3.14).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from .grid import GRID
from .regions import made_valid

_FINE = GRID / 4
"""mm; of the grid that edges are brought to where the plain way fails, finer than that of outlines."""

_LOST = 1e-9
"""Share of an area that rounding may take or add."""


def common(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return what two geometries share."""
    return _overlaid(shapely.intersection, one, other)


def without(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return what of one geometry the other leaves.

    >>> without(shapely.box(0, 0, 2, 1), shapely.box(1, 0, 3, 1)).area
    1.0
    """
    return _overlaid(shapely.difference, one, other)


def joined(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return two geometries as one."""
    return _overlaid(shapely.union, one, other)


def all_joined(regions: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return regions as one."""
    try:
        return shapely.union_all(list(regions))
    except shapely.errors.GEOSException:
        return shapely.union_all([made_valid(region) for region in regions], grid_size=_FINE)


def grown(region: BaseGeometry, by: float, *, sharp: bool = True, chords: int = 2) -> BaseGeometry:
    """Return geometry with ``by`` mm added all round, or taken off where that is less than 0.

    ``sharp``: whether corners stay corners, otherwise they are round, with so many ``chords`` to a quarter turn.
    """
    # The kernel divides by the length of edges that have none, and does without the result.
    with np.errstate(divide="ignore", invalid="ignore"):
        return region.buffer(by, quad_segs=chords, join_style="mitre" if sharp else "round")


def _overlaid(operation: Callable[..., Any], one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    try:
        result: BaseGeometry = operation(one, other)
    except shapely.errors.GEOSException:
        return _on_grid(operation, one, other)
    return result if _can_be(operation, result, one, other) else _on_grid(operation, one, other)


def _on_grid(operation: Callable[..., Any], one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    result: BaseGeometry = operation(_valid(one), _valid(other), grid_size=_FINE)
    return result


def _can_be(operation: Callable[..., Any], result: BaseGeometry, one: BaseGeometry, other: BaseGeometry) -> bool:
    """Say whether a result has an area that it can have, by those of both."""
    first, second, area = one.area, other.area, result.area
    if not first or not second:
        return True
    off = _LOST * max(first, second)
    by_operation = {shapely.intersection: area, shapely.difference: first - area, shapely.union: first + second - area}
    shared = by_operation[operation]
    # Nothing in common is what neighbours have, too: only then is it asked whether they overlap.
    return -off <= shared <= min(first, second) + off and (shared > off or not _overlap(one, other))


def _overlap(one: BaseGeometry, other: BaseGeometry) -> bool:
    return bool(shapely.relate_pattern(_valid(one), _valid(other), "T********"))


def _valid(geometry: BaseGeometry) -> BaseGeometry:
    return made_valid(geometry) if geometry.geom_type.endswith("Polygon") else geometry
