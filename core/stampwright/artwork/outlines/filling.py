"""Filled regions from rings that may cross themselves and each other, by true winding numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from ..limits import DEFAULTS, Limits, beyond
from .curves import Points

Rule = Literal["nonzero", "evenodd"]

NOTHING = MultiPolygon()

SAMPLE = 200
"""How many regions are looked at to judge how much a drawing overlaps itself."""

EDGES = 64
"""How many edges are looked at to judge how often a drawing crosses itself."""

HEAP = 20
"""Neighbours that each region touches on average, above which regions are united as a heap."""


def filled(rings: Sequence[Points], rule: Rule, limits: Limits = DEFAULTS) -> BaseGeometry:
    """Return the region that ``rings`` fill, a valid Polygon or MultiPolygon (perhaps empty).

    ``rings``: (n, 2) float arrays, each closed by a line from its last point to its first. A point is inside when its
    winding number is not zero, or is odd (SVG 2, section 13.4.2). Raises :class:`ArtworkError` past a limit.
    """
    cleaned = [ring for ring in map(_without_repeats, rings) if len(ring) >= 3]
    if not cleaned:
        return NOTHING
    if len(cleaned) == 1:
        polygon = shapely.polygons(cleaned[0])
        return polygon if shapely.is_valid(polygon) else _filled_by_faces(cleaned, rule, limits)
    polygons = _polygons(cleaned)
    if not shapely.is_valid(polygons).all():
        return _filled_by_faces(cleaned, rule, limits)
    return _filled_by_nesting(polygons, cleaned, rule, limits)


def filled_each(rings: Sequence[Points], limits: Limits = DEFAULTS) -> list[BaseGeometry]:
    """Return what each ring fills by itself, where it winds at all; much quicker than one by one."""
    rings = [ring for ring in map(_without_repeats, rings) if len(ring) >= 3]
    if not rings:
        return []
    polygons = _polygons(rings)
    sound = shapely.is_valid(polygons)
    return [
        polygon if valid else _filled_by_faces([ring], "nonzero", limits)
        for polygon, valid, ring in zip(polygons, sound, rings, strict=True)
    ]


def united(regions: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return the union of regions, cheaply where few of them touch."""
    given = np.array([region for region in regions if not region.is_empty], dtype=object)
    if len(given) == 0:
        return NOTHING
    if len(given) == 1:
        return given[0]
    # Uniting only what touches is much the quickest for scattered regions, and hopeless for a heap of them.
    sample = given[:: max(1, len(given) // SAMPLE)]
    touching = shapely.STRtree(given).query(sample).shape[1] / len(sample)
    return shapely.union_all(given) if touching > HEAP else shapely.disjoint_subset_union_all(given)


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


def _filled_by_nesting(polygons: Any, rings: Sequence[Points], rule: Rule, limits: Limits) -> BaseGeometry:
    """Fill rings none of which crosses another: each is a shell, a hole, or neither, by what lies around it."""
    tree = shapely.STRtree(polygons)
    touching = tree.query(polygons, predicate="intersects")
    touching = touching[:, touching[0] < touching[1]]
    if not touching.shape[1]:
        return MultiPolygon(list(polygons))
    signs = np.array([1 if turning(ring) > 0 else -1 for ring in rings])
    first, second = touching
    holds = shapely.contains_properly(polygons[first], polygons[second])
    held = shapely.contains_properly(polygons[second], polygons[first])
    if not (holds | held).all():
        if rule == "nonzero" and (signs == signs[0]).all():
            return shapely.union_all(polygons)
        return _filled_by_faces(rings, rule, limits)
    outer = np.concatenate((first[holds], second[held]))
    inner = np.concatenate((second[holds], first[held]))
    return _nested(polygons, signs, outer, inner, rule)


def _nested(
    polygons: Any, signs: NDArray[np.int_], outer: NDArray[np.intp], inner: NDArray[np.intp], rule: Rule
) -> BaseGeometry:
    weights = signs if rule == "nonzero" else np.ones_like(signs)
    around = np.zeros_like(weights)
    np.add.at(around, inner, weights[outer])
    within = around + weights
    fills_in, fills_out = (within != 0, around != 0) if rule == "nonzero" else (within % 2 == 1, around % 2 == 1)
    shells = np.flatnonzero(fills_in & ~fills_out)
    areas = shapely.area(polygons)
    holes: dict[int, list[int]] = {int(shell): [] for shell in shells}
    is_hole = fills_out & ~fills_in
    order = np.argsort(areas[outer])
    assigned: set[int] = set()
    for shell, hole in zip(outer[order].tolist(), inner[order].tolist(), strict=True):
        if is_hole[hole] and shell in holes and hole not in assigned:
            holes[shell].append(hole)
            assigned.add(hole)
    boundaries = shapely.get_exterior_ring(polygons)
    return MultiPolygon([Polygon(boundaries[shell], [boundaries[hole] for hole in holes[shell]]) for shell in holes])


def _filled_by_faces(rings: Sequence[Points], rule: Rule, limits: Limits) -> BaseGeometry:
    """Cut the plane along all rings, and keep the faces whose winding number fills."""
    lines = [shapely.linestrings(np.vstack((ring, ring[:1]))) for ring in rings]
    faces = faces_between(lines, limits)
    if not len(faces):
        return NOTHING
    windings = winding_numbers(shapely.get_coordinates(shapely.point_on_surface(faces)), rings)
    inside = windings != 0 if rule == "nonzero" else windings % 2 == 1
    return united_faces(faces[inside])


def faces_between(lines: Sequence[BaseGeometry], limits: Limits = DEFAULTS) -> Any:
    """Return the faces that lines enclose once they are cut at every crossing, an array of polygons."""
    if not len(lines):
        return np.empty(0, dtype=object)
    _check_crossings(lines, limits)
    given = np.array(lines, dtype=object)
    left, bottom, right, top = shapely.total_bounds(given)
    # Cutting in floating point leaves gaps where edges nearly coincide, and faces leak away through them; on a grid,
    # every cut is exact. The grid is 2**-30 of the drawing or finer, far below any tolerance.
    grid = 2.0 ** math.floor(math.log2(max(right - left, top - bottom, 1e-9)) - 30)
    noded = shapely.union_all(given, grid_size=grid)
    return shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))


def _check_crossings(lines: Sequence[BaseGeometry], limits: Limits) -> None:
    """Refuse outlines that cross each other so often that cutting them would fill the memory."""
    points, owner = shapely.get_coordinates(lines, return_index=True)
    joined = np.flatnonzero(owner[1:] == owner[:-1])
    if len(joined) ** 2 < limits.most_crossings:
        return
    begins, ends = points[joined], points[joined + 1]
    sample = range(0, len(joined), max(1, len(joined) // EDGES))
    crossed = sum(_count_crossings(begins[at], ends[at], begins, ends) for at in sample)
    crossings = crossed / len(sample) * len(joined) / 2
    if crossings > limits.most_crossings:
        raise beyond("most_crossings", f"the outlines cross each other about {crossings:,.0f} times", limits)


def _count_crossings(begin: Points, end: Points, begins: Points, ends: Points) -> int:
    """Return how many edges cross, touch or overlap the one from ``begin`` to ``end``, its neighbours left out."""

    def side(p: Points, q: Points, r: Points) -> NDArray[np.float64]:
        along, away = q - p, r - p
        turned: NDArray[np.float64] = along[..., 0] * away[..., 1] - along[..., 1] * away[..., 0]
        return turned

    low, high = np.minimum(begin, end), np.maximum(begin, end)
    near = np.flatnonzero(
        (np.minimum(begins, ends) <= high).all(axis=1) & (np.maximum(begins, ends) >= low).all(axis=1)
    )
    begins, ends = begins[near], ends[near]
    apart = side(begin, end, begins) * side(begin, end, ends) <= 0
    return max(int((apart & (side(begins, ends, begin) * side(begins, ends, end) <= 0)).sum()) - 3, 0)


def united_faces(faces: Any) -> BaseGeometry:
    """Return the union of faces that share whole edges."""
    if not len(faces):
        return NOTHING
    united = shapely.coverage_union_all(faces)
    return united if shapely.is_valid(united) else shapely.union_all(faces)


def winding_numbers(points: Points, rings: Sequence[Points]) -> NDArray[np.int_]:
    """Return how often ``rings`` wind round each of ``points``, (n,) int, by the crossings of a ray to the right.

    Source: Sunday 2001, inclusion of a point in a polygon by its winding number.
    """
    begins = np.concatenate(rings)
    ends = np.concatenate([np.roll(ring, -1, axis=0) for ring in rings])
    low, high = np.minimum(begins[:, 1], ends[:, 1]), np.maximum(begins[:, 1], ends[:, 1])
    right = np.maximum(begins[:, 0], ends[:, 0])
    left = np.minimum(begins[:, 0], ends[:, 0])
    tree = shapely.STRtree(shapely.box(left, low, right, high))
    far = right.max() + 1
    rays = shapely.box(points[:, 0], points[:, 1], far, points[:, 1])
    asked, edge = tree.query(rays)
    x, y = points[asked].T
    (x0, y0), (x1, y1) = begins[edge].T, ends[edge].T
    side = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
    upward = (y0 <= y) & (y < y1) & (side > 0)
    downward = (y1 <= y) & (y < y0) & (side < 0)
    windings = np.zeros(len(points), dtype=int)
    np.add.at(windings, asked, upward.astype(int) - downward.astype(int))
    return windings
