"""One round of mending: widen along middle lines, blunt points, open or fill what is too narrow."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ..job import PreflightSection
from .edges import Floats
from .islands import Islands, find_flooding_counters, find_small_islands, without_islands
from .judging import JudgedLines, judge_gaps, judge_lines
from .limits import Limits
from .middles import MiddleLines, measure_gap_widths, measure_line_widths
from .places import Place, find_places
from .tubes import MARGIN, QUARTER, tube

GRID = 2.0**-16
"""Mended outlines lie on this grid, mm; without it, overlaying leaves slits and hairs of no width."""

_LAST_FILLING_THAT_WIDENS = 1.0
_STEPS = 32


def mend_once(
    inked: MultiPolygon, wanted: PreflightSection, limits: Limits, near: Floats | None, filling: float
) -> MultiPolygon:
    """Return the artwork after one round of mending; the same object when there is nothing to mend.

    ``near``: only what is near it is looked at, or everything when None. ``filling``: 0 to open what is too narrow;
    else it is filled, as far as a disc of the gap's limit times this cannot enter.
    """
    inked = _mend_specks(inked, wanted, limits)
    specks = find_small_islands(inked, limits.speck)
    lines = measure_line_widths(without_islands(inked, specks), limits.line_warns, near)
    judged = judge_lines(lines, limits)
    if filling > _LAST_FILLING_THAT_WIDENS:
        # What could not be widened to the warning limit by now has no room.
        judged = judged._replace(around_missing=[], weak=[])
    mended = _widen(inked, judged, wanted, limits)
    if not wanted.repair_gaps:
        return mended
    counters = find_flooding_counters(inked, limits.counter)
    gaps = judge_gaps(measure_gap_widths(inked, limits.gap, near), limits)
    if not gaps and not len(counters):
        return mended
    if filling:
        return polygons_of(
            shapely.union_all([mended, *counters.shapes, *_fillings(mended, gaps, filling, limits.gap)], grid_size=GRID)
        )
    return _without_crumbs(_open(mended, gaps, counters, limits), inked)


def _mend_specks(inked: MultiPolygon, wanted: PreflightSection, limits: Limits) -> MultiPolygon:
    specks = find_small_islands(inked, limits.speck)
    if not len(specks) or wanted.repair_specks == "keep":
        return inked
    if wanted.repair_specks == "drop":
        return without_islands(inked, specks)
    size = max(limits.speck, limits.line_warns if wanted.repair_lines else 0.0)
    return polygons_of(shapely.union_all([inked, *_discs(specks, size)], grid_size=GRID))


def _widen(inked: MultiPolygon, judged: JudgedLines, wanted: PreflightSection, limits: Limits) -> MultiPolygon:
    """Widen lines to the least that is laid, and on to the warning limit where that crowds nothing; blunt points."""
    hair = limits.line_blocks / 2
    least: list[MiddleLines] = []
    wished: list[MiddleLines] = []
    if wanted.repair_lines:
        least += [place.lines for place in judged.missing]
        wished += [place.lines for place in judged.around_missing + judged.weak]
    points = [place.lines for place in judged.spikes] if wanted.repair_spikes else []
    least += [point.above(hair) for point in points]
    if not least and not wished:
        return inked
    needed = tube(least, limits.line_blocks, within=inked)
    # What stays of a point ends in a disc as wide as it is there.
    stumps = [point.above(0.9 * min(hair, point.widest)) for point in points]
    tips = tube([point.below(hair) for point in points], hair).difference(shapely.union(needed, tube(stumps, hair)))
    sure = polygons_of(shapely.union(polygons_of(inked.difference(tips)), needed, grid_size=GRID))
    extra = _widen_where_there_is_room(wished, sure, limits)
    return _without_crumbs(shapely.union(sure, extra, grid_size=GRID), inked)


def _widen_where_there_is_room(stretches: list[MiddleLines], inked: MultiPolygon, limits: Limits) -> BaseGeometry:
    """Return ink about middle lines, up to the warning limit wide, that comes close to no other and floods no counter.

    Ink on both sides of a gap that keeps half the clearance away from the middle of the gap keeps the gap clear; so
    the widest disc at a place has that much less than the distance to the nearest such middle as its radius.
    """
    if not stretches:
        return MultiPolygon()
    near = np.array([part.bounds for part in stretches])
    lines = [part.divided(limits.line_warns / 4) for part in stretches]
    middles = _middles_of_paper(inked, near, limits)
    if len(middles) == 0:
        return tube(lines, limits.line_warns, within=inked)
    tree = shapely.STRtree(middles)
    by_width: dict[float, list[MiddleLines]] = {}
    for part in lines:
        widths = np.minimum(_room(part.starts, tree, limits), _room(part.ends, tree, limits))
        for width in np.unique(widths):
            chosen = part.only((widths == width) & (part.narrowest < width))
            by_width.setdefault(float(width), []).append(chosen)
    return shapely.union_all([tube(parts, width, within=inked) for width, parts in by_width.items()])


def _middles_of_paper(inked: MultiPolygon, near: Floats, limits: Limits) -> NDArray[np.object_]:
    """Return the middles of gaps and small counters that growing lines may crowd; the points of notches may fill."""
    reach = limits.line_warns + limits.counter
    gaps = measure_gap_widths(inked, reach, near + limits.line_warns * np.array([-1, -1, 1, 1]))
    notches = _sources([place for place in find_places(gaps, limits.gap) if place.is_point], len(gaps))
    gaps = gaps.only(~notches).joined(gaps.only(notches).above(limits.gap))
    counters = find_flooding_counters(inked, reach)
    centres = np.concatenate([np.stack([gaps.starts, gaps.ends], axis=1), np.stack([counters.centres] * 2, axis=1)])
    return np.asarray(shapely.linestrings(centres))


def _room(centres: Floats, tree: shapely.STRtree, limits: Limits) -> Floats:
    """Return the width that ink may have at each centre, (n,) mm, in steps."""
    places, distances = tree.query_nearest(
        shapely.points(centres), max_distance=limits.line_warns, return_distance=True, all_matches=False
    )
    widths = np.full(len(centres), limits.line_warns)
    step = limits.line_warns / _STEPS
    widths[places[0]] = np.floor((2 * distances - limits.counter) / step) * step
    return np.asarray(np.minimum(widths, limits.line_warns))


def _open(inked: MultiPolygon, gaps: list[Place], counters: Islands, limits: Limits) -> BaseGeometry:
    """Cut gaps and counters open along their middle, but leave the ink beside them what the printer lays at least."""
    cut = shapely.union_all([tube([gap.lines for gap in gaps], limits.gap), *_discs(counters, limits.counter)])
    near = shapely.bounds(shapely.get_parts(cut))
    beside = measure_line_widths(inked, limits.line_blocks + limits.counter, near)
    pointed = _sources([place for place in find_places(beside, limits.line_blocks) if place.is_point], len(beside))
    kept = tube([beside.only(~pointed)], limits.line_blocks).intersection(inked)
    return shapely.union(polygons_of(inked.difference(cut)), polygons_of(kept), grid_size=GRID)


def _fillings(inked: MultiPolygon, gaps: list[Place], filling: float, limit: float) -> list[BaseGeometry]:
    """Return what a disc of ``filling`` limits cannot enter (a closing) where that is part of a narrow gap."""
    if not gaps:
        return []
    width = filling * limit
    radius = width / 2 + MARGIN
    closed = inked.buffer(radius, quad_segs=QUARTER).buffer(-radius, quad_segs=QUARTER)
    stretches = [gap.lines for gap in gaps]
    fillings = shapely.get_parts(closed.difference(inked).intersection(tube(stretches, 3 * width)))
    lines = shapely.linestrings(np.concatenate([np.stack([part.starts, part.ends], axis=1) for part in stretches]))
    reached = np.unique(shapely.STRtree(fillings).query(lines, predicate="intersects")[1])
    # Past the first round, gaps between bulging edges are bridged outright.
    return [*fillings[reached], tube(stretches, width)] if width > limit else list(fillings[reached])


def _discs(islands: Islands, size: float) -> list[BaseGeometry]:
    return list(shapely.buffer(shapely.points(islands.centres), size / 2 + MARGIN, quad_segs=QUARTER))


def _sources(places: list[Place], count: int) -> NDArray[np.bool_]:
    chosen = np.zeros(count, dtype=bool)
    for place in places:
        chosen[place.sources] = True
    return chosen


def _without_crumbs(inked: BaseGeometry, before: MultiPolygon) -> MultiPolygon:
    """Drop what hangs together with nothing of the artwork before: leavings of cutting."""
    parts = shapely.get_parts(polygons_of(inked))
    kept = np.unique(shapely.STRtree(parts).query(shapely.get_parts(before), predicate="intersects")[1])
    return MultiPolygon(list(parts[kept]))


def polygons_of(region: BaseGeometry) -> MultiPolygon:
    """Return the polygons of a region that are broader than leavings of rounding."""
    parts = shapely.get_parts(region)
    solid = (shapely.get_type_id(parts) == 3) & (shapely.area(parts) > 4 * GRID * shapely.length(parts))
    return MultiPolygon(list(parts[solid]))
