"""Repair of artwork: thicken only what is thin, open only what is too narrow, and leave the rest untouched."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ..findings import Finding
from ..job import Job, PreflightSection
from ..layout import Layout
from .islands import Islands, find_flooding_counters, find_small_islands, without_counters, without_islands
from .judging import judge_gaps, judge_lines
from .limits import Limits
from .middles import MiddleLines, measure_gap_widths, measure_line_widths
from .places import Place, find_places

MENDED = "mended"
"""Kind of the notes that say what repair did."""

MOST_ROUNDS = 12
"""Repair gives up after this many rounds; what is left is found by examining the result."""

OPENING_ROUNDS = 2
"""In later rounds nothing is cut any more: what is still too narrow is filled, so that repair comes to an end."""

_QUARTER = 8
# Middle lines are kept to this, mm.
_GRAIN = 0.01
# Makes up for the grain and for the flats of a polygonal disc, which reach 0.5 % less far than its corners.
_MARGIN = 0.006
_SLIGHT_AREA = 1e-7


@dataclass(frozen=True, eq=False)
class Repair:
    """Mended artwork, paper frame, mm.

    ``inked``: the artwork as mended. ``added`` and ``removed``: what ink repair put in and took out. ``findings``: notes
    that say how much.
    """

    inked: MultiPolygon
    added: MultiPolygon
    removed: MultiPolygon
    findings: tuple[Finding, ...]


def repair(job: Job, layout: Layout) -> Repair:
    """Mend what examining the layout finds, as far as the job's ``repair_...`` figures ask for it.

    Lines are widened along their middle to the warning limit where there is room beside them, else to what the printer
    lays at least. Gaps and counters are opened along their middle where the ink beside them can spare it; where it
    cannot, they are filled, as the spread would. Specks grow to the size that holds or are dropped. Points lose the
    end that is a hair (under half of what the printer lays) and are widened like lines. Everything else keeps its
    outline.
    """
    limits, wanted = Limits.of(job), job.preflight
    before = mended = layout.inked
    for turn in range(MOST_ROUNDS):
        last = mended
        mended = _mend_specks(mended, wanted, limits)
        filling = 1.0 + (turn - OPENING_ROUNDS) / 2 if turn >= OPENING_ROUNDS else 0.0
        mended = _mend_once(mended, wanted, limits, filling)
        if mended is last or (filling and mended.area - last.area < _SLIGHT_AREA):
            break
    added, removed = _polygons(mended.difference(before)), _polygons(before.difference(mended))
    return Repair(mended, added, removed, tuple(_notes(added, removed)))


def _mend_specks(inked: MultiPolygon, wanted: PreflightSection, limits: Limits) -> MultiPolygon:
    specks = find_small_islands(inked, limits.speck)
    if not len(specks) or wanted.repair_specks == "keep":
        return inked
    if wanted.repair_specks == "drop":
        return without_islands(inked, specks)
    size = max(limits.speck, limits.line_warns if wanted.repair_lines else 0.0)
    return _polygons(shapely.union_all([inked, *_discs(specks, size)]))


def _mend_once(inked: MultiPolygon, wanted: PreflightSection, limits: Limits, filling: float) -> MultiPolygon:
    """Return the artwork after one round of mending; the same object when there is nothing left to mend."""
    specks = find_small_islands(inked, limits.speck)
    lines = measure_line_widths(without_islands(inked, specks), max(limits.line_warns, limits.line_blocks + limits.gap))
    judged = judge_lines(lines, limits)
    counters = find_flooding_counters(inked, limits.counter)
    gaps = measure_gap_widths(without_counters(inked, counters), limits.line_warns + limits.gap)
    narrow_gaps = judge_gaps(gaps, limits)
    mend_lines = wanted.repair_lines and bool(judged.missing or judged.weak)
    mend_spikes = wanted.repair_spikes and bool(judged.spikes)
    mend_gaps = wanted.repair_gaps and bool(narrow_gaps or len(counters))
    if not (mend_lines or mend_spikes or mend_gaps):
        return inked
    hair = limits.line_blocks / 2
    pointed = _sources(judged.spikes, len(lines))
    points, others = lines.only(pointed), lines.only(~pointed)
    widened = [others.below(limits.line_warns)] if mend_lines else []
    if mend_spikes:
        widened.append(points.above(hair).below(limits.line_warns))
    clear = _clear_of_notches(gaps, limits)
    core = _tube(
        [others.below(limits.line_blocks + limits.gap), points.above(hair).below(limits.line_blocks + limits.gap)],
        limits.line_blocks,
    )
    grown = _tube(widened, limits.line_warns).difference(_tube([clear], limits.gap))
    result = shapely.union(inked, grown)
    if mend_spikes:
        tips = _tube([points.below(hair)], hair)
        result = result.difference(tips.difference(grown))
    if mend_gaps and filling < 1.0:
        cuts = [_tube([place.lines for place in narrow_gaps], limits.gap), *_discs(counters, limits.counter)]
        result = result.difference(shapely.union_all(cuts))
    elif mend_gaps:
        result = shapely.union_all([result, *counters.shapes, *_fillings(result, narrow_gaps, limits.gap * filling)])
    kept = core if mend_lines else core.intersection(inked)
    return _without_crumbs(shapely.union(result, kept), inked)


def _clear_of_notches(gaps: MiddleLines, limits: Limits) -> MiddleLines:
    """Return the middles of gaps without the pointed ends of notches: those may fill a little."""
    notches = [place for place in find_places(gaps, limits.gap) if place.is_taper]
    pointed = _sources(notches, len(gaps))
    return gaps.only(~pointed).joined(gaps.only(pointed).above(limits.gap))


def _sources(places: list[Place], count: int) -> NDArray[np.bool_]:
    chosen = np.zeros(count, dtype=bool)
    for place in places:
        chosen[place.sources] = True
    return chosen


def _tube(stretches: list[MiddleLines], width: float) -> BaseGeometry:
    """Return all that lies within half a width of some middle lines."""
    pieces = np.concatenate([np.stack([part.starts, part.ends], axis=1) for part in stretches] or [np.empty((0, 2, 2))])
    if not len(pieces) or width <= 0:
        return MultiPolygon()
    # Round ends and bends bring hundreds of pieces that all but coincide; they are gathered on a grid first.
    grid, numbers = np.unique(np.round(pieces.reshape(-1, 2) / _GRAIN).astype(np.int64), axis=0, return_inverse=True)
    ends = np.unique(np.sort(numbers.reshape(-1, 2), axis=1), axis=0)
    real = ends[:, 0] != ends[:, 1]
    chains = shapely.get_parts(
        shapely.line_merge(shapely.multilinestrings(shapely.linestrings(grid[ends[real]] * _GRAIN)))
    )
    points = shapely.points(grid[np.setdiff1d(ends[~real], ends[real])] * _GRAIN)
    middles = np.concatenate([shapely.simplify(chains, _GRAIN / 2), points])
    return shapely.union_all(shapely.buffer(middles, width / 2 + _MARGIN, quad_segs=_QUARTER))


def _discs(islands: Islands, size: float) -> list[BaseGeometry]:
    return list(shapely.buffer(shapely.points(islands.centres), size / 2 + _MARGIN, quad_segs=_QUARTER))


def _fillings(inked: MultiPolygon, gaps: list[Place], width: float) -> list[BaseGeometry]:
    """Return what a disc of the gaps' limit cannot enter, where that is part of a narrow gap (a closing)."""
    if not gaps:
        return []
    radius = width / 2 + _MARGIN
    closed = inked.buffer(radius, quad_segs=_QUARTER).buffer(-radius, quad_segs=_QUARTER)
    narrow = _tube([gap.lines for gap in gaps], 3 * width)
    fillings = shapely.get_parts(closed.difference(inked).intersection(narrow))
    lines = shapely.linestrings(np.concatenate([np.stack([gap.lines.starts, gap.lines.ends], axis=1) for gap in gaps]))
    reached = np.unique(shapely.STRtree(fillings).query(lines, predicate="intersects")[1])
    return list(fillings[reached])


def _without_crumbs(inked: BaseGeometry, before: MultiPolygon) -> MultiPolygon:
    """Drop what hangs together with nothing of the artwork before: leavings of cutting."""
    parts = shapely.get_parts(_polygons(inked))
    tree = shapely.STRtree(parts)
    kept = np.unique(tree.query(shapely.get_parts(before), predicate="intersects")[1])
    return MultiPolygon(list(parts[kept]))


def _polygons(region: BaseGeometry) -> MultiPolygon:
    """Return the polygons of a region that have an area worth the name."""
    parts = shapely.get_parts(region)
    solid = (shapely.get_type_id(parts) == 3) & (shapely.area(parts) > _SLIGHT_AREA)
    return MultiPolygon(list(parts[solid]))


def _notes(added: MultiPolygon, removed: MultiPolygon) -> Iterator[Finding]:
    for region, what, sign in ((added, "added", 1.0), (removed, "removed", -1.0)):
        if not region.is_empty:
            count = len(region.geoms)
            yield Finding(
                kind=MENDED,
                severity="notes",
                stage="preflight",
                message=f"Repair {what} {region.area:.2f} mm² of ink in {count} place{'s' if count > 1 else ''}",
                remedy="Look at the proof; draw it yourself where repair chose otherwise",
                place=region,
                measured=sign * region.area,
                unit="mm²",
            )
