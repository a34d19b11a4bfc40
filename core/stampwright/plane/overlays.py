"""Overlays that fail on nothing: where edges all but coincide, they are worked out again on a grid.

The kernel then raises an error, or says nothing and gives no area, or one that cannot be (GEOS 3.14).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from .grid import GRID
from .regions import made_valid, sound_parts

_FINE = GRID / 4
"""mm; of the grid that edges are brought to where the plain way fails, finer than that of outlines."""

Areas = float | NDArray[np.float64]

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


def unshared(one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    """Return what lies in one of two geometries alone."""
    return _overlaid(shapely.symmetric_difference, one, other)


def all_joined(regions: Sequence[BaseGeometry] | NDArray[np.object_], *, scattered: bool = False) -> BaseGeometry:
    """Return regions as one; where they are ``scattered``, so that few of them touch, that is soon done."""
    given = np.asarray(regions, dtype=object)
    try:
        return shapely.disjoint_subset_union_all(given) if scattered else shapely.union_all(given)
    except shapely.errors.GEOSException:
        return shapely.union_all([_valid(region) for region in given], grid_size=_grid_for(*given))


def side_by_side(regions: Sequence[BaseGeometry] | NDArray[np.object_]) -> BaseGeometry:
    """Return regions that mostly lie side by side as one: soon done where their edges match corner by corner.

    >>> side_by_side([shapely.box(0, 0, 1, 1), shapely.box(1, 0, 2, 1)]).area
    2.0
    """
    given = np.asarray(regions, dtype=object)
    return shapely.coverage_union_all(given) if shapely.coverage_is_valid(given) else all_joined(given)


def in_each(
    overlay: Callable[[BaseGeometry, BaseGeometry], BaseGeometry],
    ones: NDArray[np.object_],
    others: NDArray[np.object_] | BaseGeometry,
) -> NDArray[np.object_]:
    """Return what an overlay, such as :func:`common`, makes of each of some geometries, (n,), and its other.

    >>> boxes = np.array([shapely.box(0, 0, 2, 1), shapely.box(5, 0, 6, 1)])
    >>> shapely.area(in_each(common, boxes, shapely.box(1, 0, 3, 1))).tolist()
    [1.0, 0.0]
    """
    others = np.broadcast_to(np.asarray(others, dtype=object), np.shape(ones))
    operation = _OPERATIONS[overlay]
    try:
        results = np.array(operation(ones, others), dtype=object)
    except shapely.errors.GEOSException:
        results, doubtful = np.empty(len(ones), dtype=object), np.arange(len(ones))
    else:
        possible, some = _can_have(operation, *(shapely.area(each) for each in (results, ones, others)))
        doubtful = np.flatnonzero(~possible | (~some & _are_near(ones, others)))
    for at in doubtful:
        results[at] = overlay(ones[at], others[at])
    return results


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
    if _can_be(operation, result, one, other):
        return result
    on_grid = _on_grid(operation, one, other)
    # Neighbours that run into each other by rounding stay as they are: brought to the grid, they would part elsewhere.
    moved = _grid_for(one, other) * (one.length + other.length)
    return on_grid if abs(on_grid.area - result.area) > moved else result


def _on_grid(operation: Callable[..., Any], one: BaseGeometry, other: BaseGeometry) -> BaseGeometry:
    result: BaseGeometry = operation(_valid(one), _valid(other), grid_size=_grid_for(one, other))
    return result


def _grid_for(*regions: BaseGeometry) -> float:
    """Return the spacing of the grid for regions: finer yet where all are small, as a drawing in units of its own."""
    left, bottom, right, top = shapely.total_bounds(np.asarray(regions, dtype=object))
    size = max(right - left, top - bottom)
    return min(_FINE, float(2.0 ** np.floor(np.log2(size) - 22))) if size > 0 else _FINE


_OPERATIONS: dict[Callable[..., Any], Callable[..., Any]] = {
    common: shapely.intersection,
    without: shapely.difference,
    joined: shapely.union,
}


def _can_be(operation: Callable[..., Any], result: BaseGeometry, one: BaseGeometry, other: BaseGeometry) -> bool:
    """Say whether a result has an area that it can have, by those of both."""
    possible, some = _can_have(operation, result.area, one.area, other.area)
    # Nothing in common is what neighbours have, too: only then is it asked whether they overlap.
    return bool(possible and (some or not _overlap(one, other)))


def _can_have(operation: Callable[..., Any], area: Areas, first: Areas, second: Areas) -> tuple[Any, Any]:
    """Say whether a result can have its area, mm², by those of both; and whether it leaves no doubt that they meet."""
    by_operation = {
        shapely.intersection: area,
        shapely.difference: first - area,
        shapely.union: first + second - area,
        shapely.symmetric_difference: (first + second - area) / 2,
    }
    shared = by_operation[operation]
    least, off = np.minimum(first, second), _LOST * np.maximum(first, second)
    return (least == 0) | ((-off <= shared) & (shared <= least + off)), (least == 0) | (shared > off)


def _are_near(ones: Any, others: Any) -> Any:
    """Say whether the boxes of geometries overlap."""
    first, second = shapely.bounds(ones), shapely.bounds(others)
    return ((first[..., :2] < second[..., 2:]) & (second[..., :2] < first[..., 2:])).all(axis=-1)


def _overlap(one: BaseGeometry, other: BaseGeometry) -> bool:
    return bool(_are_near(one, other) and shapely.relate_pattern(_valid(one), _valid(other), "T********"))


def _valid(geometry: BaseGeometry) -> BaseGeometry:
    if geometry.geom_type == "GeometryCollection":
        # On a grid, areas with lines beside them cannot be overlaid; these are leavings of an overlay before.
        return sound_parts(geometry) if geometry.area else geometry
    return made_valid(geometry) if geometry.geom_type.endswith("Polygon") else geometry
