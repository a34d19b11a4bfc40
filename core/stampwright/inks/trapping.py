"""Trap: where two inks meet, the lighter runs under the darker, so that a miss shows no bare paper between them.

The lighter of two inks is the one of lower neutral density; it gives way because the darker one's edge is what an eye
follows (common practice of printers). The lighter only ever grows under the darker, never over paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from ..plane.overlays import all_joined, common, grown, joined, side_by_side, without
from ..plane.regions import filled_parts, sound_parts, thinned
from .separating import Separation, density_of

SEAM = 0.02
"""Paper between two inks narrower than this is no gap but the seam between two outlines, mm."""

SLIVER, THIN = 0.1, 0.2
"""Width under which what is drawn in one ink beside another belongs to that, and what a trap adds is left out, mm."""

HAIR = 0.002
"""How far a trap overlaps its own ink, mm, so that the two are one whatever rounding does."""

EDGE = 6e-4
"""How far two outlines may lie apart to be one edge, mm: a little more than the grid lets them."""

STEPS = 4
"""In which a trap grows where the darker ink is thin or slit: a slit as wide as a step is never leapt over."""

_ENCLOSED = 0.97  # of its edge that a speck has with other inks

ROUND = 8
"""Chords of a quarter turn where a trap goes round a corner; it lies under the other ink."""

LEAST_FILLED = 0.5
"""Share of a hole that an overprinting ink has to fill for the ink round it to run on beneath it."""


@dataclass(frozen=True)
class Trap:
    """The strip by which one ink runs under another: ``region``, mm, and the densities that decide which."""

    lighter: str
    darker: str
    densities: tuple[float, float]
    width: float
    region: MultiPolygon


@dataclass(frozen=True)
class Trapped:
    """Separations as they are made, in printing order, and what was added to them.

    ``specks``: what each ink gave to those round it, being too small to be laid between them, by its name, mm.
    """

    separations: tuple[Separation, ...]
    traps: tuple[Trap, ...]
    specks: tuple[tuple[str, MultiPolygon], ...] = ()


@np.errstate(divide="ignore", invalid="ignore")
def trap_inks(separations: Sequence[Separation], width: float, *, gap: float = 0.0) -> Trapped:
    """Return separations trapped by ``width`` mm, each lighter ink running that far under each darker one.

    Where ink ends on paper, a trap keeps half its width away from that edge of the darker ink, so that it does not show
    beyond a thin line. What a trap leaves between its two sides that is narrower than ``gap``, mm, is closed: the
    darker ink covers it. What is smaller than that all round, and lies between other inks alone, goes to that of them
    which it has most edge with. An ink that overprints fills what holes it covers in the inks before it, drawn in
    (choked) by ``width`` from paper within them. No separation comes to lie on paper.
    """
    whole = side_by_side([each.region for each in separations])
    given, specks = _without_specks(_without_slivers(_without_seams(separations, whole)), gap)
    if width <= 0.0:
        return Trapped(given, (), specks)
    as_drawn = all(each.region is before.region for each, before in zip(given, separations, strict=True))
    covered = whole if as_drawn else side_by_side([each.region for each in given])
    spread = [each.region for each in given]
    traps: list[Trap] = []
    for at, under in enumerate(given):
        for later, over in enumerate(given):
            if later == at:
                continue
            added: BaseGeometry = MultiPolygon()
            if over.ink.laid == "overprint" and later > at:
                added = _run_on(under.region, over.region, covered, width)
            densities = density_of(under.ink), density_of(over.ink)
            if densities < densities[::-1] or (densities[0] == densities[1] and at < later):
                strip = _spread(under.region, over.region, covered, width, gap)
                added = strip if added.is_empty else joined(added, strip)
            if added.is_empty:
                continue
            traps.append(Trap(under.ink.name, over.ink.name, densities, width, filled_parts(added)))
            spread[at] = _joined(spread[at], added, over.region)
    done = tuple(
        replace(each, region=_without_pinholes(sound_parts(common(region, covered)), each.region, covered, gap))
        if region is not each.region
        else each
        for each, region in zip(given, spread, strict=True)
    )
    return Trapped(done, tuple(traps), specks)


def _joined(region: MultiPolygon, added: BaseGeometry, over: MultiPolygon) -> MultiPolygon:
    """Return a region with what a trap adds to it, without what of that is too thin to be laid."""
    both = joined(region, added)
    part = common(both, added.buffer(THIN, quad_segs=2))
    closing = common(grown(grown(part, THIN / 2, sharp=False), -THIN / 2, sharp=False), over)
    filled = [grown(crack, 2 * HAIR) for crack in _cracks(closing, both, region)]
    whole = joined(both, common(all_joined(filled), over)) if filled else both
    broad = grown(grown(whole, -THIN / 2), THIN / 2 + EDGE)
    thin = [grown(part, EDGE) for part in filled_parts(without(whole, broad)).geoms]
    return sound_parts(joined(without(whole, all_joined(thin)), region)) if thin else whole


def _cracks(closing: BaseGeometry, both: BaseGeometry, region: MultiPolygon) -> list[Polygon]:
    """Return what lies open between a region and its trap, or within this; not the corners of its inner edge."""
    shapely.prepare(region)
    # Outlines that all but coincide take an overlay long: a hair apart it is soon seen that mostly nothing is open.
    if not _told_apart(without(closing, grown(both, EDGE / 4)), region, reach=2 * EDGE):
        return []
    return _told_apart(without(closing, both), region, reach=EDGE)


def _told_apart(opened: BaseGeometry, region: MultiPolygon, *, reach: float) -> list[Polygon]:
    wide = [part for part in filled_parts(opened).geoms if part.area > HAIR * HAIR]
    beside = shapely.dwithin(region, wide, reach)
    return [part for part, near in zip(wide, beside, strict=True) if near or part.area > SLIVER * SLIVER / 4]


def _without_pinholes(region: MultiPolygon, before: MultiPolygon, covered: BaseGeometry, gap: float) -> MultiPolygon:
    """Return a region without the specks and the holes, narrower than ``gap``, that a trap has left along an edge.

    Two outlines of one edge lie a little to either side of each other. What was there ``before`` stays, and so does
    paper.
    """
    size, before_holes = max(SLIVER, gap) / 2, [Polygon(ring) for part in before.geoms for ring in part.interiors]
    parts = [part for part in region.geoms if part.area > SLIVER * SLIVER or part.intersects(before)]
    filled = []
    for part in parts:
        kept = [
            hole.exterior
            for hole in map(Polygon, part.interiors)
            if not grown(hole, -size, sharp=False).is_empty
            or without(hole, covered).area > SLIVER * SLIVER
            or any(hole.area > other.area / 2 and other.covers(hole.representative_point()) for other in before_holes)
        ]
        filled.append(Polygon(part.exterior, kept))
    return MultiPolygon(filled)


def _without_specks(
    separations: Sequence[Separation], size: float
) -> tuple[tuple[Separation, ...], tuple[tuple[str, MultiPolygon], ...]]:
    """Return separations in which specks between other inks go to these, and what each ink gave away so.

    A speck holds no disc of ``size`` mm, and has no edge with paper: it would fill in the ink round it, and no nozzle
    lays it.
    """
    regions = [each.region for each in separations]
    given: dict[str, list[Polygon]] = {}
    for at, each in enumerate(separations):
        for part in each.region.geoms:
            if len(each.region.geoms) < 2 or not grown(part, -size / 2, sharp=False).is_empty:
                continue
            around = grown(part, 2 * EDGE)
            edges = [
                float(common(part.exterior, grown(common(beside, around), EDGE)).length) if other != at else 0.0
                for other, beside in enumerate(regions)
            ]
            most = max(range(len(edges)), key=lambda which: edges[which])
            if sum(edges) < _ENCLOSED * part.exterior.length:
                continue
            regions[at] = sound_parts(without(regions[at], around))
            regions[most] = sound_parts(joined(regions[most], around))
            given.setdefault(each.ink.name, []).append(part)
    done = tuple(replace(each, region=region) for each, region in zip(separations, regions, strict=True))
    return done if given else tuple(separations), tuple((name, MultiPolygon(parts)) for name, parts in given.items())


def _without_slivers(separations: Sequence[Separation]) -> tuple[Separation, ...]:
    """Return separations in which what of an ink is thinner than a sliver goes to the ink beside it.

    Drawings have such where two outlines that should coincide do not quite; no eye sees them and no nozzle lays them.
    """
    regions = [each.region for each in separations]
    for at, region in enumerate(regions):
        broad = grown(grown(region, -SLIVER / 2), SLIVER / 2 + HAIR)
        for part in filled_parts(without(region, broad)).geoms:
            around = grown(part, EDGE)
            shared = [
                0.0
                if other == at
                else float(common(beside.boundary, around).length)
                if beside.intersects(around)
                else 0.0
                for other, beside in enumerate(regions)
            ]
            most = max(range(len(shared)), key=lambda which: shared[which])
            if shared[most] > SLIVER:
                regions[at] = sound_parts(without(regions[at], around))
                regions[most] = sound_parts(joined(regions[most], common(around, region)))
    return tuple(
        each if region is each.region else replace(each, region=region)
        for each, region in zip(separations, regions, strict=True)
    )


def _without_seams(separations: Sequence[Separation], whole: BaseGeometry) -> tuple[Separation, ...]:
    """Return separations with the seams between them closed, each by the first that reaches it; ``whole``: all ink."""
    closed = grown(grown(whole, SEAM / 2), -SEAM / 2)
    seams = filled_parts(without(closed, whole))
    seams = MultiPolygon([part for part in seams.geoms if part.area > 1e-6])
    if seams.is_empty:
        return tuple(separations)
    done = []
    for each in separations:
        reached = common(grown(each.region, SEAM), seams)
        between = [part for part in filled_parts(reached).geoms if _between(part, each, separations)]
        region = each.region
        if between:
            mine = all_joined(between)
            seams = filled_parts(without(seams, mine))
            region = sound_parts(joined(region, mine))
        done.append(replace(each, region=region))
    return tuple(done)


def _between(part: Polygon, one: Separation, separations: Sequence[Separation]) -> bool:
    """Say whether a seam lies between an ink and another; within one it is that ink's own gap."""
    return any(other is not one and part.distance(other.region) < SEAM / 4 for other in separations)


def _spread(under: MultiPolygon, over: MultiPolygon, covered: BaseGeometry, width: float, gap: float) -> BaseGeometry:
    """Return the strip of ``over`` that lies within ``width`` of the edge that it shares with ``under``."""
    shared = _shared_edge(under, over)
    if shared.is_empty:
        return MultiPolygon()
    # Flat at its ends, a strip goes no farther along the darker ink's edge than the lighter ink does.
    # Out of sight under the darker ink, it needs no fine outline.
    strip = thinned(common(shared.buffer(width, quad_segs=ROUND, cap_style="flat"), over), HAIR)
    free = _free_of_thin(over, covered, width)
    if not free.is_empty:
        strip = common(strip, _grown_within(shared, without(over, free), width))
    strip = _touching(strip, shared)
    if gap > 0.0 and not strip.is_empty:
        strip = _closed(under, strip, over, free, gap)
    return joined(strip, shared.buffer(2 * HAIR, quad_segs=1))


def _grown_within(shared: BaseGeometry, within: BaseGeometry, width: float) -> BaseGeometry:
    """Return what of a region lies within ``width`` of a line on a way inside it: not beyond a slit, round its end."""
    reached: BaseGeometry = shared
    for _ in range(STEPS):
        reached = common(grown(reached, width / STEPS, sharp=False, chords=ROUND), within)
    return reached


def _free_of_thin(over: MultiPolygon, covered: BaseGeometry, width: float) -> BaseGeometry:
    """Return what of the darker ink's thin lines a trap keeps clear of: half its width along their edges on paper.

    Thin is what is narrower than one and a half traps: beneath anything broader the lighter ink stays out of sight.
    """
    broad = grown(grown(over, -0.75 * width), 0.75 * width + HAIR)
    thin = filled_parts(without(over, broad))
    parts = [part for part in thin.geoms if part.area > width * width / 4]
    if not parts:
        return MultiPolygon()
    thin = all_joined(parts)
    free = common(common(over.boundary, thin.buffer(HAIR)), covered.boundary.buffer(HAIR, quad_segs=2))
    return free.buffer(width / 2, quad_segs=ROUND) if not free.is_empty else free


def _shared_edge(one: MultiPolygon, other: MultiPolygon) -> BaseGeometry:
    near = common(shapely.box(*one.bounds), shapely.box(*other.bounds).buffer(SEAM))
    if near.is_empty:
        return MultiPolygon()
    edge = common(one.boundary, other.boundary.buffer(EDGE, quad_segs=2, cap_style="flat"))
    lines = [part for part in shapely.get_parts(edge) if part.geom_type == "LineString" and part.length > 2 * EDGE]
    if not lines:
        return MultiPolygon()
    # Where the edges part, a stub as short as the hair turns off; thinned, the line ends as it runs.
    return thinned(shapely.line_merge(shapely.multilinestrings(lines)), 2 * EDGE)


def _touching(strip: BaseGeometry, shared: BaseGeometry) -> BaseGeometry:
    """Return those parts of a strip that begin at the shared edge: none beyond a gap in the darker ink."""
    shapely.prepare(shared)
    parts = [part for part in filled_parts(strip).geoms if shared.dwithin(part, 3 * HAIR)]
    return all_joined(parts) if parts else MultiPolygon()


def _closed(
    under: MultiPolygon, strip: BaseGeometry, over: MultiPolygon, free: BaseGeometry, gap: float
) -> BaseGeometry:
    """Return a strip with what is narrower than ``gap`` between its sides filled, where the darker ink covers it."""
    # Only round the strip is anything changed, so only there is it looked for.
    reach = strip.buffer(gap, quad_segs=2)
    whole = joined(common(under, reach), grown(strip, HAIR))
    closing = whole.buffer(gap / 2, quad_segs=4).buffer(-gap / 2, quad_segs=4)
    added = without(common(closing, over), grown(whole, HAIR))
    if not free.is_empty:
        added = without(added, free)
    parts = [part for part in filled_parts(added).geoms if part.area > gap * gap / 20]
    return joined(strip, common(all_joined([grown(part, 3 * HAIR) for part in parts]), over)) if parts else strip


def _run_on(under: MultiPolygon, over: MultiPolygon, covered: BaseGeometry, width: float) -> BaseGeometry:
    """Return where an ink runs on beneath one that overprints: in holes that this fills, choked from paper in them."""
    filled = []
    for part in under.geoms:
        for ring in part.interiors:
            hole = Polygon(ring)
            inside = common(hole, over)
            if inside.area < LEAST_FILLED * hole.area:
                continue
            paper = without(hole, covered)
            others = without(without(hole, over), paper)
            if others.area > 1e-6 * hole.area:
                continue
            filled.append(inside if paper.area <= 1e-6 else without(inside, paper.buffer(width, quad_segs=ROUND)))
    return all_joined(filled) if filled else MultiPolygon()
