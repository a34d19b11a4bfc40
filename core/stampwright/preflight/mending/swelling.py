"""Swelling: outlines moved outwards by what thin lines lack, as evenly along them as their neighbours leave room.

How far each point of an outline moves is settled first, and only then is ink drawn: a half of what its line lacks; less
where the gap beside it has no more to give, and then the other side of the line moves by the rest. Between points that
must move and those that need not, the move dies away at a gentle slope, and at inward corners at once. So a serif
keeps a straight head across the stem that it stands on, and nothing swells in knobs.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...plane.overlays import all_joined
from ..limits import PrintLimits
from ..narrow_places import judge_gaps
from ..widths.edges import Edges, Floats, Wholes, list_edges
from ..widths.middles import MiddleLines, join_lines, measure_gap_widths
from ..widths.places import NarrowPlace, find_places
from .clearing import grown_clear_of
from .guarding import without_new_holes
from .tubes import MARGIN, MENDING_GRID, QUARTER, Shapes, polygons_of

SLOPE = 0.15
"""By how much of the way along an outline its move may change: a turn of 9 degrees."""

TURNS = 3
"""How often moves are put right by what they have come to."""

_STEP = 1 / 6
"""Points of outlines are this share of a width apart."""

_ROOM = 10.0
"""As far as anything may move where nothing is near, mm."""

_STILL = 0.002
"""A move of less than this is none, mm."""

_SOON = 9
"""Hollows in moves are filled over twice so many edges: three widths."""

_CORNER = 0.5
"""What turns by more than this at once is a corner, radians."""

_SQUARE = 1.0
"""Corners that turn by more than this, radians, make an end square where there are two of them."""

_INTO = 0.004
"""How far into the ink what is put to it reaches, mm, so that no slit is left between."""

_MOST_IN_STRIP = 16
"""Edges that are moved in one piece."""

_ARC = 0.35
"""Corners that turn by less than this, radians, are rounded by one straight piece."""


def swollen(
    inked: MultiPolygon, thin: Sequence[NarrowPlace], width: float, limits: PrintLimits, paper: BaseGeometry
) -> MultiPolygon:
    """Return ink whose thin places are ``width`` mm wide, as far as gaps allow and without covering paper that is kept.

    Lines are not lengthened: an end that is square stays so, any other becomes round.
    """
    near = np.array([place.lines.bounds for place in thin]) + width * np.array([-1, -1, 1, 1])
    parts = shapely.get_parts(inked)
    hit = np.unique(shapely.STRtree(parts).query(shapely.box(*near.T), predicate="intersects")[1])
    outline = _Outline.of(MultiPolygon(list(parts[hit])), width * _STEP)
    still = np.zeros(len(outline.edges))
    lines = _touching(outline, join_lines([place.lines for place in thin]), still, 1)
    gaps = _touching(outline, _gaps(inked, width, limits, near), still, -1)
    settled = _settled(outline, lines, gaps, width + MARGIN, limits)
    for turn in range(TURNS):
        moved = _moved(outline.edges, _kept_short(outline, lines, settled.moves, width / 2 + MARGIN))
        grown = grown_clear_of(all_joined(moved).simplify(_STILL), paper)
        swelled = without_new_holes(inked, polygons_of(shapely.union(inked, grown, grid_size=MENDING_GRID)), limits)
        tight = judge_gaps(measure_gap_widths(swelled, limits.gap, near), limits) if turn < TURNS - 1 else []
        if not tight:
            break
        # Gaps are narrower than was reckoned where they bend, or where corners face each other.
        narrow = _touching(outline, join_lines([place.lines for place in tight]), settled.moves, -1)
        settled = settled.without(outline, narrow, limits.gap)
    return swelled


class _Touching(NamedTuple):
    """Places along middle lines: the two points of the outline touched there, (n, 2), or -1; and the widths, (n,).

    ``centres``: the places themselves, (n, 2) mm; ``along``: (n, 2) unit vectors along the line, either way.
    """

    points: Wholes
    widths: Floats
    centres: Floats
    along: Floats


class _Outline(NamedTuple):
    """An outline as edges no longer than a step, and by how much moves, and the room for them, may change past starts.

    Both die away along straights and bends, moves also at inward turns, and neither is carried round a corner.
    """

    edges: Edges
    outward: Floats
    step: float
    past: Floats
    past_room: Floats

    @staticmethod
    def of(region: MultiPolygon, step: float) -> _Outline:
        edges = list_edges(region, "ink", step)
        outward = -(edges.inward + edges.inward[edges.leading])
        outward /= np.maximum(np.hypot(*outward.T), 1e-9)[:, None]
        width = step / _STEP
        corner = np.where(np.abs(edges.turns) > _CORNER, np.abs(edges.turns), 0.0)
        inward = np.maximum(-edges.turns, 0.0)
        return _Outline(edges, outward, step, width / np.pi * np.maximum(inward / 2, 2 * corner), width * corner)

    def wished(self, values: Floats) -> Floats:
        """Return moves, (n,) mm, that die away gently; where they do and come again soon after, they stay."""
        return self._spread(self._closed(values), SLOPE * self.edges.lengths, self.past)

    def granted(self, room: Floats) -> Floats:
        """Return room for moves, (n,) mm, that grows gently."""
        return -self._spread(-room, 2 * SLOPE * self.edges.lengths, self.past_room)

    def _closed(self, values: Floats) -> Floats:
        """Return values with hollows filled that are no longer than twice so many edges."""
        return -self._widest(-self._widest(values))

    def _widest(self, values: Floats) -> Floats:
        ahead = behind = np.arange(len(values))
        result = values
        for _ in range(_SOON):
            ahead, behind = self.edges.following[ahead], self.edges.leading[behind]
            result = np.maximum(result, np.maximum(values[ahead], values[behind]))
        return result

    def _spread(self, values: Floats, along: Floats, past: Floats) -> Floats:
        """Return values, (n,), raised so that none lies by more than the costs of edges and starts below another."""
        count = len(values)
        firsts = np.flatnonzero(self.edges.leading != np.arange(count) - 1)
        sizes = np.diff(np.append(firsts, count))
        # Twice round each ring, as it has no beginning; rings far from each other.
        ring = np.repeat(np.arange(len(sizes)), 2 * sizes)
        lap = np.arange(len(ring)) - np.repeat(2 * (np.cumsum(sizes) - sizes), 2 * sizes)
        at = firsts[ring] + lap % sizes[ring]
        far = 4 * _ROOM * ring
        ahead = np.concatenate([[0.0], np.cumsum((along + past)[at])[:-1]]) + far
        behind = np.concatenate([[0.0], np.cumsum((along + past[self.edges.following])[at])[:-1]]) + far
        raised = np.maximum(
            np.maximum.accumulate(values[at] + ahead) - ahead,
            np.maximum.accumulate((values[at] - behind)[::-1])[::-1] + behind,
        )
        result = np.full(count, -np.inf)
        np.maximum.at(result, at, raised)
        return result


def _gaps(inked: MultiPolygon, width: float, limits: PrintLimits, near: Floats) -> MiddleLines:
    """Return the middles of the gaps that ink grows towards, without the tips of notches, which may fill."""
    gaps = measure_gap_widths(inked, width + limits.gap, near)
    tips = np.zeros(len(gaps), dtype=bool)
    for place in find_places(gaps, limits.gap):
        if place.is_point:
            tips[place.sources] = True
    return join_lines([gaps.only(~tips), gaps.only(tips).above(limits.gap)])


def _touching(outline: _Outline, lines: MiddleLines, moves: Floats, outwards: int) -> _Touching:
    """Return where middle lines touch the outline when it has moved; ``outwards``: 1 for lines of ink, -1 of paper."""
    lines = lines.divided(outline.step)
    centres = np.concatenate([lines.starts, lines.ends])
    radii = np.concatenate([lines.start_widths, lines.end_widths])[:, None] / 2
    throats = np.tile(lines.lengths == 0.0, 2)
    # The first edge of a throat stands for the corner at its start; what is across from it lies straight across.
    to_corner = lines.outline.starts[np.tile(lines.edges[:, 0], 2)] - centres
    to_corner /= np.maximum(np.hypot(*to_corner.T), 1e-9)[:, None]
    ways = [-lines.outline.inward[np.tile(lines.edges[:, side], 2)] for side in (0, 1)]
    for way, sign in zip(ways, (1, -1), strict=True):
        way[throats] = sign * to_corner[throats]
    points = [_met(outline, moves, centres + radii * way, outwards * way) for way in ways]
    across = ways[0] - ways[1]
    along = np.column_stack([-across[:, 1], across[:, 0]]) / np.maximum(np.hypot(*across.T), 1e-9)[:, None]
    return _Touching(np.stack(points, axis=1), 2 * radii[:, 0], centres, along)


def _met(outline: _Outline, moves: Floats, places: Floats, outward: Floats) -> Wholes:
    """Return the point of a moved outline that is next to each of some places on it, facing ``outward``, or -1.

    Both sides of a hair lie within each other's reach, as do those of a corner; they face other ways.
    """
    edges = outline.edges
    moved = edges.starts + moves[:, None] * outline.outward
    sides = shapely.linestrings(np.stack([moved, moved[edges.following]], axis=1))
    reach = outline.step * (1.5 if moves.any() else 0.25)
    spots = shapely.points(places)
    asked, edge = shapely.STRtree(sides).query(spots, predicate="dwithin", distance=reach)
    facing = (outward[asked] * -edges.inward[edge]).sum(axis=1) > 0.3
    asked, edge = asked[facing], edge[facing]
    order = np.lexsort((shapely.distance(spots[asked], sides[edge]), asked))
    order = order[np.diff(asked[order], prepend=-1) > 0]
    asked, edge = asked[order], edge[order]
    ends = np.stack([edge, edges.following[edge]])
    nearer = np.hypot(*np.moveaxis(moved[ends] - places[asked], -1, 0)).argmin(axis=0)
    numbers = np.full(len(places), -1)
    numbers[asked] = ends[nearer, np.arange(len(asked))]
    return numbers


def _kept_short(outline: _Outline, lines: _Touching, moves: Floats, half: float) -> Floats:
    """Return how far each edge moves at its start and its end, (n, 2) mm, where no line becomes longer by that.

    An end that is square stays so, any other becomes round, ``half`` mm in radius.
    """
    edges = outline.edges
    kept = np.stack([moves, moves[edges.following]], axis=1)
    # Round a corner that one side of it moves away from, the other stays.
    slow = 2 * SLOPE * edges.lengths
    corner = np.abs(edges.turns) > _CORNER
    starting, ending = corner, corner[edges.following]
    kept[starting, 0] = np.minimum(kept[starting, 0], kept[starting, 1] + slow[starting])
    kept[ending, 1] = np.minimum(kept[ending, 1], kept[ending, 0] + slow[ending])
    for end in _ends(outline, lines, half):
        corners = np.stack([edges.starts[end.edges], edges.ends[end.edges]], axis=1)
        outward = -edges.inward[end.edges][:, None]
        before = end.tip - corners @ end.ahead
        if end.square:
            forward = outward @ end.ahead
            most = np.where(forward > 0.05, np.maximum(before, 0.0) / np.maximum(forward, 0.05), _ROOM)
        else:
            away = corners - end.middle
            along = (away * outward).sum(axis=-1)
            most = np.sqrt(np.maximum(along**2 + half**2 - (away**2).sum(axis=-1), 0.0)) - along
            most = np.where(before < half, np.maximum(most, 0.0), _ROOM)
        kept[end.edges] = np.minimum(kept[end.edges], most)
    return kept


class _End(NamedTuple):
    """An end of a line: the edges about it, (n,), which way the line leads on, and how far that way it reaches, mm.

    ``middle``: of the disc that ends there when the line has been widened, mm; ``square``: whether it has corners.
    """

    edges: Wholes
    ahead: Floats
    tip: float
    middle: Floats
    square: bool


def _ends(outline: _Outline, lines: _Touching, half: float) -> Iterator[_End]:
    """Yield the ends of lines: where their two sides are joined by an outline hardly longer than they are wide."""
    edges = outline.edges
    way = np.concatenate([[0.0], np.cumsum(edges.lengths)])
    ring = np.cumsum(edges.leading != np.arange(len(edges)) - 1) - 1
    firsts = np.flatnonzero(np.diff(ring, prepend=-1))
    lasts = np.append(firsts[1:], len(edges))
    first, second = lines.points.T
    around = (way[lasts] - way[firsts])[ring[first]]
    on = (way[second] - way[first]) % around
    back = on > around - on
    starts, sizes = np.where(back, second, first), np.where(back, around - on, on)
    most = np.maximum(2 * half + 0.8 * lines.widths, 2.1 * lines.widths + outline.step)
    short = (lines.points >= 0).all(axis=1) & (ring[first] == ring[second]) & (sizes < most)
    left = np.flatnonzero(short)[np.argsort(sizes[short], kind="stable")]
    while len(left):
        at = left[0]
        base, last = firsts[ring[starts[at]]], lasts[ring[starts[at]]]
        arcs = [
            _arc(starts[at], way, (base, last), span) for span in ((0.0, sizes[at]), (-2 * half, sizes[at] + 2 * half))
        ]
        yield _end_of(edges, lines, at, arcs, half)
        middle = way[starts[at]] + sizes[at] / 2
        beyond = (middle - way[starts[left]]) % around[left]
        left = left[~((ring[starts[left]] == ring[starts[at]]) & (beyond <= sizes[left]))][: len(left) - 1]


def _arc(first: int, way: Floats, ring: tuple[int, int], span: tuple[float, float]) -> Wholes:
    """Return the edges of a ring, numbered from its first to before its last, from span to span, mm beyond an edge."""
    own = np.arange(*ring)
    around = way[ring[1]] - way[ring[0]]
    on = (way[own] - way[first] - span[0]) % around + span[0]
    order = np.argsort(on, kind="stable")
    return np.asarray(own[order][on[order] <= span[1]])


def _end_of(edges: Edges, lines: _Touching, at: int, arcs: Sequence[Wholes], half: float) -> _End:
    """Return the end of a line beyond a place on it; ``arcs``: the edges from there round the end, and those beside."""
    inner, around = arcs
    ahead, centre = lines.along[at], lines.centres[at]
    corners = np.concatenate([edges.starts[inner], edges.ends[inner[:-1]]])
    if (corners.mean(axis=0) - centre) @ ahead < 0:
        ahead = -ahead
    tip = float((corners @ ahead).max())
    sharp = edges.turns[inner[1:]] > _SQUARE
    return _End(around, ahead, tip, centre + (tip - half - centre @ ahead) * ahead, int(sharp.sum()) == 2)


class _Settled(NamedTuple):
    """How far each point of the outline should move outwards, and may, (n,) mm each."""

    wish: Floats
    room: Floats

    @property
    def moves(self) -> Floats:
        """How far each point moves, (n,) mm."""
        return np.minimum(self.wish, self.room)

    def without(self, outline: _Outline, gaps: _Touching, gap: float) -> _Settled:
        """Return the moves less a half of what gaps that they have come to are narrower than ``gap`` mm."""
        back = np.maximum(gap - gaps.widths, 0.0)[:, None] / 2
        left = np.maximum(self.moves[np.maximum(gaps.points, 0)] - back, 0.0)
        return self._replace(room=_room(outline, gaps, left, self.room))


def _settled(outline: _Outline, lines: _Touching, gaps: _Touching, width: float, limits: PrintLimits) -> _Settled:
    spare = gaps.widths[:, None] - limits.gap
    free = np.full(len(outline.edges), _ROOM)
    room = _room(outline, gaps, np.maximum(spare, 0.0) / 2 + np.zeros(2), free)
    moves = _Settled(_wish(outline, lines, width, room), room).moves
    # Where the other side of a gap wants less than half of what it can spare, this one may have the rest.
    others = np.where(gaps.points >= 0, moves[gaps.points], 0.0)[:, ::-1]
    room = _room(outline, gaps, np.maximum(np.maximum(spare / 2, spare - others), 0.0), free)
    return _Settled(_wish(outline, lines, width, room), room)


def _room(outline: _Outline, gaps: _Touching, shares: Floats, room: Floats) -> Floats:
    """Return how far each point may move, mm, by the room it has and by the shares of both sides of gaps, (n, 2)."""
    room = room.copy()
    there = gaps.points >= 0
    np.minimum.at(room, gaps.points[there], shares[there])
    return outline.granted(room)


def _wish(outline: _Outline, lines: _Touching, width: float, room: Floats) -> Floats:
    """Return how far each point should move, mm: for half of what its line lacks, and what the other side cannot."""
    lack = np.maximum(width - lines.widths, 0.0)[:, None]
    others = lines.points[:, ::-1]
    able = np.where(others >= 0, room[others], 0.0)
    wish = np.zeros(len(outline.edges))
    there = lines.points >= 0
    np.maximum.at(wish, lines.points[there], np.maximum(lack / 2, lack - able)[there])
    return outline.wished(wish)


def _moved(edges: Edges, moves: Floats) -> Shapes:
    """Return what edges pass over when they move outwards by ``moves`` at their start and end, (n, 2) mm."""
    moving = np.flatnonzero(moves.max(axis=1) > _STILL)
    if not len(moving):
        return np.empty(0, dtype=object)
    follows = (np.diff(moving, prepend=-2) == 1) & (edges.leading[moving] == moving - 1)
    follows &= np.abs(edges.turns[moving]) <= _ARC
    run = np.maximum.accumulate(np.where(follows, 0, np.arange(len(moving))))
    opens = ~follows | ((np.arange(len(moving)) - run) % _MOST_IN_STRIP == 0)
    strips = _strips(edges, moves, moving, np.cumsum(opens) - 1)
    # Between strips, and round corners, what is left open is filled.
    by = np.minimum(moves[:, 0], moves[edges.leading, 1])
    corners = moving[opens & (by[moving] > _STILL) & (edges.turns[moving] > 1e-6)]
    sharp = edges.turns[corners] > _ARC
    blunt = corners[~sharp]
    at, on = edges.starts[blunt], by[blunt, None]
    first, second = -edges.inward[edges.leading[blunt]], -edges.inward[blunt]
    wedges = shapely.polygons(np.stack([at, at + on * first, at + on * second], axis=1))
    discs = shapely.buffer(shapely.points(edges.starts[corners[sharp]]), by[corners[sharp]], quad_segs=QUARTER)
    return np.concatenate([strips, wedges, discs])


def _strips(edges: Edges, moves: Floats, moving: Wholes, strip: Wholes) -> Shapes:
    """Return the area that each strip of edges passes over; ``strip``: (n,) the number of that of each moving edge."""
    outward = -edges.inward[moving]
    sides = [edges.starts[moving], edges.ends[moving]]
    outer = [side + moves[moving, end, None] * outward for end, side in enumerate(sides)]
    inner = [side - _INTO * outward for side in sides]
    quads = shapely.polygons(np.stack([inner[0], inner[1], outer[1], outer[0]], axis=1))
    # Within a strip, edges meet halfway between where each of them would move their common point.
    last = np.append(strip[1:] != strip[:-1], True)
    points, of_strip, place = [], [], []
    for here, sign in ((inner, 1), (outer, -1)):
        meeting = here[0].copy()
        meeting[1:] = np.where(last[:-1, None], here[0][1:], (here[0][1:] + here[1][:-1]) / 2)
        points += [meeting, here[1][last]]
        of_strip += [strip, strip[last]]
        place += [sign * (2 * np.arange(len(strip)) + 1), sign * (2 * np.flatnonzero(last) + 2)]
    order = np.lexsort((np.concatenate(place), np.concatenate(of_strip)))
    # Inner points run on, and outer ones, whose places are negative, come before them and back.
    rings = shapely.linearrings(np.concatenate(points)[order], indices=np.concatenate(of_strip)[order])
    strips = shapely.polygons(rings)
    sound = shapely.is_valid(strips)
    return np.concatenate([strips[sound], quads[~sound[strip]]])
