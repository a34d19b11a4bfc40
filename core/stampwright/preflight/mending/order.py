"""The order of repair: specks, points, gaps and counters, then lines, which may move aside; last what has no room."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...job.kinds import FLOODING_COUNTER, SPECK
from ...job.sections.preflight import PreflightSection
from ...plane.links import least_labels
from ...plane.overlays import without
from ..islands import (
    Islands,
    find_flooding_counters,
    find_small_islands,
    within_sight_of,
    without_counters,
    without_islands,
)
from ..limits import PrintLimits
from ..narrow_places import JudgedLines, judge_gaps, judge_lines
from ..widths.edges import Floats, Wholes
from ..widths.middles import measure_gap_widths, measure_line_widths
from ..widths.places import NarrowPlace
from .blunting import blunt_points, boxes_of, bridge_throats, without_slivers
from .choosing import Chosen
from .clearing import counters_kept
from .guarding import cleared_where_joined, undo_what_joins_or_parts
from .opening import cut_open, give_back
from .specks import grown_specks
from .swelling import swollen
from .tubes import MENDING_GRID, Shapes, polygons_of, tube

_SURELY_A_NECK = 0.8
"""A neck is left when it is clearly one, so that examining the result never takes it for a line."""

_SLIVER = 0.25
"""What repair puts in is at least this share of the least line broad: narrower it is a leaving of it."""


_MOST_BRIDGES = 4
"""How often throats are bridged: where the ink widens but slowly beyond one, there is another behind it."""


@dataclass(frozen=True, eq=False)
class Mended:
    """Artwork after repair, and the thin lines left in it that had no room to grow."""

    inked: MultiPolygon
    crowded: list[NarrowPlace]


@dataclass(frozen=True, eq=False)
class _Wanted:
    """What is mended: how wide lines become, and which of them; what is told by a point alone, if anything is."""

    section: PreflightSection
    limits: PrintLimits
    chosen: Chosen | None

    @property
    def width(self) -> float:
        return self.limits.line_warns if self.section.repair_to == "warns" else self.limits.line_blocks

    def specks(self, inked: MultiPolygon) -> Islands:
        found = find_small_islands(inked, self.limits.speck if self.section.repair_specks != "keep" else 0.0)
        return found if self.chosen is None else self.chosen.islands(SPECK, found)

    def counters(self, inked: MultiPolygon) -> Islands:
        found = within_sight_of(find_flooding_counters(inked, self.limits.counter if self.section.repair_gaps else 0.0))
        return found if self.chosen is None else self.chosen.islands(FLOODING_COUNTER, found)

    def gaps(self, inked: MultiPolygon) -> list[NarrowPlace]:
        if not self.section.repair_gaps:
            return []
        # Counters that flood are opened as such, in their middle.
        open_ink = without_counters(inked, find_flooding_counters(inked, self.limits.counter))
        found = judge_gaps(measure_gap_widths(open_ink, self.limits.gap), self.limits)
        return found if self.chosen is None else self.chosen.gaps(found)

    def lines(self, inked: MultiPolygon, near: Floats | None = None, below: float | None = None) -> JudgedLines:
        """Judge lines, near some boxes only, and nothing broader than ``below`` mm where that is enough."""
        limits = self.limits if below is None else replace(self.limits, line_warns=below)
        specks = find_small_islands(inked, limits.speck)
        large = without_islands(inked, specks)
        lines = measure_line_widths(large, limits.line_warns, near)
        judged = judge_lines(large, lines, limits, neck=_SURELY_A_NECK)
        if not self.section.repair_lines:
            judged = judged._replace(missing=[], around_missing=[], weak=[])
        if not self.section.repair_spikes:
            judged = judged._replace(spikes=[])
        return judged if self.chosen is None else self.chosen.lines(judged)

    def thin(self, judged: JudgedLines) -> list[NarrowPlace]:
        """Return the lines to widen: those that are not laid, and on request those that are laid weakly."""
        if self.section.repair_to == "warns":
            return [*judged.missing, *judged.around_missing, *judged.weak]
        return judged.missing


def mend(inked: MultiPolygon, section: PreflightSection, limits: PrintLimits, chosen: Chosen | None = None) -> Mended:
    """Mend artwork by the smallest change that repair knows; the same object comes back when nothing is to mend.

    Nothing that was apart is joined, and nothing that hung together is parted, but for specks and hairs that go.
    """
    wanted = _Wanted(section, limits, chosen)
    specks, judged = wanted.specks(inked), wanted.lines(inked)
    counters, gaps, thin = wanted.counters(inked), wanted.gaps(inked), wanted.thin(judged)
    if not (len(specks) or len(counters) or gaps or thin or judged.spikes):
        return Mended(inked, [])
    dropped = section.repair_specks == "drop" and len(specks) > 0
    before = without_islands(inked, specks) if dropped else inked
    grown = blunt_points(before if dropped else grown_specks(before, specks, limits), judged.spikes, limits)
    near = np.concatenate([shapely.bounds(specks.shapes), boxes_of(thin)])
    mended = _opened_and_widened(before, grown, wanted, (counters, gaps), near)
    if mended.crowded and (gaps or len(counters)):
        # What was opened may have taken the wall that should grow; rather a wall than the paper behind it.
        spared = _away_from(boxes_of(mended.crowded, wanted.width), counters, gaps)
        if len(spared[0]) < len(counters) or len(spared[1]) < len(gaps):
            second = _opened_and_widened(before, grown, wanted, spared, near)
            return _better_of(mended, second, before, 2 * wanted.width + limits.gap)
    return mended


def _better_of(one: Mended, other: Mended, before: MultiPolygon, reach: float) -> Mended:
    """Return of two ways to mend that which leaves fewer lines crowded, chosen anew where parts are out of reach, mm.

    What is far from a crowded place is then mended as if that were not there.
    """
    parts = shapely.get_parts(before)
    tree = shapely.STRtree(parts)
    near = tree.query(parts, predicate="dwithin", distance=reach).T
    company = least_labels(len(parts), near[near[:, 0] < near[:, 1]])

    def company_of(shapes: Shapes) -> Wholes:
        return np.asarray(company[tree.nearest(shapes)]) if len(shapes) else company[:0]

    ways = [(shapely.get_parts(way.inked), way.crowded) for way in (one, other)]
    crowds = [
        company_of(shapely.points(np.array([place.at for place in crowded]).reshape(-1, 2))) for _, crowded in ways
    ]
    counts = [np.bincount(each, minlength=len(parts)) for each in crowds]
    turned = counts[1] < counts[0]
    inked, crowded = [], []
    for (mended, places), crowd, meant in zip(ways, crowds, (~turned, turned), strict=True):
        # Parts meet the part that they were: nothing was joined or parted.
        inked += list(mended[meant[company_of(mended)]])
        crowded += [place for place, its in zip(places, crowd.tolist(), strict=True) if meant[its]]
    return Mended(MultiPolygon(inked), crowded)


def _opened_and_widened(
    before: MultiPolygon,
    grown: MultiPolygon,
    wanted: _Wanted,
    closing: tuple[Islands, list[NarrowPlace]],
    near: Floats,
) -> Mended:
    """Open counters and gaps and widen lines, near some boxes and near these, but join and part nothing.

    ``before``: the ink that it is judged by; ``grown``: the same with its specks and points mended.
    """
    limits, (counters, gaps) = wanted.limits, closing
    touched = np.concatenate([near, shapely.bounds(counters.shapes), boxes_of(gaps)])
    opened = cut_open(grown, gaps, counters, limits) if gaps or len(counters) else grown
    around = touched + 2 * limits.line_warns * np.array([-1, -1, 1, 1])
    widened, crowded = _widened(opened, wanted, counters_kept(before, wanted.width, limits), around)
    if crowded and opened is not grown:
        given = give_back(widened, grown, boxes_of(crowded, wanted.width), limits)
        widened = polygons_of(shapely.set_precision(given, MENDING_GRID))
    widened = without_slivers(before, widened, _SLIVER * limits.line_blocks)
    cleared = cleared_where_joined(before, widened, wanted.width, limits)
    guarded = undo_what_joins_or_parts(before, cleared)
    # Judged on what is left of it: what was given back, or undone, may be thin again, and so may its ends.
    return Mended(guarded, wanted.lines(guarded).missing)


def _away_from(boxes: Floats, counters: Islands, gaps: list[NarrowPlace]) -> tuple[Islands, list[NarrowPlace]]:
    """Return those counters and gaps that do not meet any of some boxes, (n, 4) mm."""
    tree = shapely.STRtree(shapely.box(*boxes.T))
    met = np.zeros(len(counters), dtype=bool)
    met[tree.query(counters.shapes, predicate="intersects")[0]] = True
    meant = ~met
    left = Islands(counters.shapes[meant], counters.sizes[meant], counters.centres[meant], counters.indices[meant])
    beside = (
        {int(at) for at in tree.query(shapely.box(*boxes_of(gaps).T), predicate="intersects")[0]} if gaps else set()
    )
    return left, [gap for at, gap in enumerate(gaps) if at not in beside]


def _widened(
    inked: MultiPolygon, wanted: _Wanted, paper: BaseGeometry, near: Floats
) -> tuple[MultiPolygon, list[NarrowPlace]]:
    """Widen lines near some boxes and return with the ink those that are still not laid, as they have no room.

    Grown lines may come too near to each other where their gap was wide; what of it is new gives way again.
    """
    limits = wanted.limits
    judged = wanted.lines(inked, near, wanted.width)
    thin = wanted.thin(judged)
    if not thin:
        return inked, judged.missing
    widened = swollen(inked, thin, wanted.width, limits, paper)
    for _ in range(_MOST_BRIDGES):
        left = wanted.thin(wanted.lines(widened, near, wanted.width))
        if not (throats := [place for place in left if place.length < wanted.width / 4]):
            break
        widened = bridge_throats(widened, throats, wanted.width, paper)
    if gaps := judge_gaps(measure_gap_widths(widened, limits.gap, boxes_of(thin, 2 * wanted.width)), limits):
        lanes = without(tube([gap.lines for gap in gaps], limits.gap), inked)
        widened = polygons_of(without(widened, lanes))
    return widened, wanted.lines(widened, near, wanted.width).missing
