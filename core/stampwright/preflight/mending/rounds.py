"""One round of mending: specks, then lines and points, then gaps and counters."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...job.kinds import FLOODING_COUNTER, SPECK
from ...job.sections.preflight import PreflightSection
from ..islands import Islands, find_flooding_counters, find_small_islands, without_islands
from ..limits import PrintLimits
from ..narrow_places import JudgedLines, judge_gaps, judge_lines
from ..widths.edges import Floats
from ..widths.middles import measure_gap_widths, measure_line_widths
from ..widths.places import Place, find_places, sources_of
from .choosing import Chosen
from .tubes import GRID, MARGIN, QUARTER, polygons_of, tube
from .widening import widen_lines

_LAST_FILLING_THAT_WIDENS = 1.0


class Mended(NamedTuple):
    """Artwork after a round, and the boxes round what was mended in it, (n, 4) mm; none when nothing was."""

    inked: MultiPolygon
    touched: Floats


def mend_once(
    inked: MultiPolygon,
    wanted: PreflightSection,
    limits: PrintLimits,
    *,
    near: Floats | None,
    filling: float,
    chosen: Chosen | None = None,
) -> Mended:
    """Mend everything once, or only what is chosen.

    ``near``: only what is near these boxes is looked at, or everything when None. ``filling``: 0 to open what is too
    narrow; else it is filled, as far as a disc of ``filling`` times the gap's limit cannot enter.
    """
    specks = _specks_to_mend(inked, wanted, limits)
    if chosen is not None:
        specks = chosen.islands(SPECK, specks)
    mended = _mend_specks(inked, specks, wanted, limits)
    judged = _lines_to_mend(mended, wanted, limits, near, filling)
    counters, gaps = _gaps_to_mend(mended, wanted, limits, near)
    if chosen is not None:
        judged, counters, gaps = chosen.lines(judged), chosen.islands(FLOODING_COUNTER, counters), chosen.gaps(gaps)
    places = [*judged.missing, *judged.around_missing, *judged.weak, *judged.spikes, *gaps]
    if places or len(counters):
        before, widened = mended, mended
        if len(places) > len(gaps):
            widened = polygons_of(widen_lines(before, judged, limits))
        if filling:
            mended = polygons_of(_fill(widened, gaps, counters, filling, limits))
        elif gaps or len(counters):
            mended = polygons_of(_open(widened, gaps, counters, limits))
        else:
            mended = widened
        mended = _without_crumbs(mended, before)
    boxes = [shapely.bounds(specks.shapes), shapely.bounds(counters.shapes)]
    return Mended(mended, np.concatenate([*boxes, *([place.lines.bounds] for place in places)]))


def _specks_to_mend(inked: MultiPolygon, wanted: PreflightSection, limits: PrintLimits) -> Islands:
    return find_small_islands(inked, limits.speck if wanted.repair_specks != "keep" else 0.0)


def _mend_specks(inked: MultiPolygon, specks: Islands, wanted: PreflightSection, limits: PrintLimits) -> MultiPolygon:
    if not len(specks):
        return inked
    if wanted.repair_specks == "drop":
        return without_islands(inked, specks)
    size = max(limits.speck, limits.line_warns if wanted.repair_lines else 0.0)
    return polygons_of(shapely.union_all([inked, *_discs(specks, size)], grid_size=GRID))


def _lines_to_mend(
    inked: MultiPolygon, wanted: PreflightSection, limits: PrintLimits, near: Floats | None, filling: float
) -> JudgedLines:
    specks = find_small_islands(inked, limits.speck)
    judged = judge_lines(measure_line_widths(without_islands(inked, specks), limits.line_warns, near), limits)
    if not wanted.repair_lines:
        judged = judged._replace(missing=[], around_missing=[], weak=[])
    if not wanted.repair_spikes:
        judged = judged._replace(spikes=[])
    if filling > _LAST_FILLING_THAT_WIDENS:
        # What could not be widened to the warning limit by now has no room.
        judged = judged._replace(around_missing=[], weak=[])
    return judged


def _gaps_to_mend(
    inked: MultiPolygon, wanted: PreflightSection, limits: PrintLimits, near: Floats | None
) -> tuple[Islands, list[Place]]:
    if not wanted.repair_gaps:
        return find_flooding_counters(inked, 0.0), []
    gaps = judge_gaps(measure_gap_widths(inked, limits.gap, near), limits)
    return find_flooding_counters(inked, limits.counter), gaps


def _open(inked: MultiPolygon, gaps: list[Place], counters: Islands, limits: PrintLimits) -> BaseGeometry:
    """Cut gaps and counters open along their middle, but leave the ink beside them what the printer lays at least."""
    cut = shapely.union_all([tube([gap.lines for gap in gaps], limits.gap), *_discs(counters, limits.counter)])
    near = shapely.bounds(shapely.get_parts(cut))
    beside = measure_line_widths(inked, limits.line_blocks + limits.counter, near)
    pointed = sources_of([place for place in find_places(beside, limits.line_blocks) if place.is_point], len(beside))
    kept = tube([beside.only(~pointed)], limits.line_blocks).intersection(inked)
    return shapely.union(polygons_of(inked.difference(cut)), polygons_of(kept), grid_size=GRID)


def _fill(
    inked: MultiPolygon, gaps: list[Place], counters: Islands, filling: float, limits: PrintLimits
) -> BaseGeometry:
    """Fill counters, and of gaps what a disc of ``filling`` limits cannot enter (a closing) round the narrow place.

    Past the first round, gaps between bulging edges are bridged outright: discs go round these.
    """
    fillings = [part for gap in gaps for part in _closing(inked, gap, filling * limits.gap)]
    if filling > 1.0:
        fillings.append(tube([gap.lines for gap in gaps], filling * limits.gap))
    return shapely.union_all([inked, *counters.shapes, *fillings], grid_size=GRID)


def _closing(inked: MultiPolygon, gap: Place, width: float) -> list[BaseGeometry]:
    radius = width / 2 + MARGIN
    around = shapely.clip_by_rect(inked, *(gap.lines.bounds + 4 * width * np.array([-1, -1, 1, 1])))
    closed = around.buffer(radius, quad_segs=QUARTER).buffer(-radius, quad_segs=QUARTER)
    parts = shapely.get_parts(closed.difference(around).intersection(tube([gap.lines], 3 * width)))
    middle = shapely.multilinestrings(shapely.linestrings(np.stack([gap.lines.starts, gap.lines.ends], axis=1)))
    return [part for part in parts if part.intersects(middle)]


def _discs(islands: Islands, size: float) -> list[BaseGeometry]:
    return list(shapely.buffer(shapely.points(islands.centres), size / 2 + MARGIN, quad_segs=QUARTER))


def _without_crumbs(inked: MultiPolygon, before: MultiPolygon) -> MultiPolygon:
    """Drop what hangs together with nothing of the artwork before: leavings of cutting."""
    parts = shapely.get_parts(inked)
    kept = np.unique(shapely.STRtree(parts).query(shapely.get_parts(before), predicate="intersects")[1])
    return MultiPolygon(list(parts[kept]))
