"""Middle lines: where a region is narrower than a limit, and exactly how narrow.

The width at a place is the diameter of the largest disc that fits there and touches the outline on opposite sides
(local thickness by inscribed balls; the centres form Blum's 1967 medial axis). Two edges that face each other carry a
straight piece of that axis with a width that changes linearly along it; two inward corners, or one and an edge, carry
a throat, where the width is their distance. So widths on polygons are exact, not sampled.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from .crowded import are_crowded, touched_with_corners
from .edges import Edges, Flags, Floats, Side, Wholes, list_edges
from .facing import SLACK, facing_pairs

_SHARP_TURN = math.radians(15.0)
# Discs that are tried first, and chains of edges in each of them above which they are looked at another way.
_SAMPLE = 100
_MANY_WITHIN = 5


@dataclass(frozen=True, eq=False)
class MiddleLines:
    """Pieces of the middle lines of a region where it is narrower than a limit.

    ``starts``, ``ends``: (n, 2) float, mm, centres of inscribed discs; equal at a throat. ``start_widths``,
    ``end_widths``: (n,) their diameters, mm. ``edges``: (n, 2) the two edges touched. ``outline``: the edges that were
    measured.
    """

    starts: Floats
    ends: Floats
    start_widths: Floats
    end_widths: Floats
    edges: Wholes
    outline: Edges

    def __len__(self) -> int:
        return len(self.start_widths)

    @property
    def lengths(self) -> Floats:
        """Length of each piece, (n,) mm."""
        return np.asarray(np.hypot(*(self.ends - self.starts).T))

    @property
    def narrowest(self) -> Floats:
        """The lesser width of each piece, (n,) mm."""
        return np.minimum(self.start_widths, self.end_widths)

    def only(self, chosen: Flags | Wholes) -> MiddleLines:
        """Return the chosen pieces."""
        return MiddleLines(
            self.starts[chosen],
            self.ends[chosen],
            self.start_widths[chosen],
            self.end_widths[chosen],
            self.edges[chosen],
            self.outline,
        )

    @property
    def widest(self) -> float:
        """The greatest width, mm."""
        return float(max(self.start_widths.max(), self.end_widths.max()))

    @property
    def bounds(self) -> Floats:
        """Least box that holds all the pieces: (4,) left, bottom, right, top, mm."""
        points = np.concatenate([self.starts, self.ends])
        return np.concatenate([points.min(axis=0), points.max(axis=0)])

    def divided(self, longest: float) -> MiddleLines:
        """Return the pieces cut into equal ones no longer than ``longest`` mm."""
        counts = np.maximum(np.ceil(self.lengths / longest), 1).astype(np.int64)
        source = np.repeat(np.arange(len(counts)), counts)
        place = np.arange(len(source)) - np.repeat(np.cumsum(counts) - counts, counts)
        return self.only(source).between(place / counts[source], (place + 1) / counts[source])

    def below(self, limit: float) -> MiddleLines:
        """Return the pieces, cut where needed, along which the width is below ``limit`` mm."""
        chosen = self.only(self.narrowest < limit)
        crossing = chosen._crossings(limit)
        return chosen.between(
            np.where(chosen.start_widths > limit, crossing, 0.0), np.where(chosen.end_widths > limit, crossing, 1.0)
        )

    def above(self, limit: float) -> MiddleLines:
        """Return the pieces, cut where needed, along which the width is ``limit`` mm or more."""
        chosen = self.only(np.maximum(self.start_widths, self.end_widths) >= limit)
        crossing = chosen._crossings(limit)
        return chosen.between(
            np.where(chosen.start_widths < limit, crossing, 0.0), np.where(chosen.end_widths < limit, crossing, 1.0)
        )

    def _crossings(self, limit: float) -> Floats:
        """Return where along each piece, as a share of its length, the width passes the limit."""
        widening = self.end_widths - self.start_widths
        crossing = (limit - self.start_widths) / np.where(widening == 0.0, 1.0, widening)
        return np.clip(crossing, 0.0, 1.0)

    def between(self, first: Floats, last: Floats) -> MiddleLines:
        """Return each piece cut down to run from ``first`` to ``last``, (n,) shares of its length."""
        step, widening = self.ends - self.starts, self.end_widths - self.start_widths
        return MiddleLines(
            starts=self.starts + first[:, None] * step,
            ends=self.starts + last[:, None] * step,
            start_widths=self.start_widths + first * widening,
            end_widths=self.start_widths + last * widening,
            edges=self.edges,
            outline=self.outline,
        )


def measure_line_widths(inked: MultiPolygon | Polygon, below: float, near: Floats | None = None) -> MiddleLines:
    """Measure the ink wherever it is narrower than ``below`` mm; exact for the polygons given.

    With ``near``, (n, 4) boxes (left, bottom, right, top), mm, only what lies within ``below`` of these is measured.

    >>> bar = shapely.box(0, 0, 10, 0.3)
    >>> lines = measure_line_widths(bar, below=0.8)
    >>> round(float(lines.narrowest.min()), 4), round(float(lines.lengths.sum()), 1)
    (0.3, 9.7)
    """
    return _find_middle_lines(inked, "ink", below, near)


def measure_gap_widths(inked: MultiPolygon | Polygon, below: float, near: Floats | None = None) -> MiddleLines:
    """Measure the paper between ink wherever it is narrower than ``below`` mm, inside counters too.

    ``near`` is as for :func:`measure_line_widths`.

    >>> pair = MultiPolygon([shapely.box(0, 0, 10, 1), shapely.box(0, 1.15, 10, 2)])
    >>> round(float(measure_gap_widths(pair, below=0.2).narrowest.min()), 4)
    0.15
    """
    return _find_middle_lines(inked, "paper", below, near)


def narrowest_width(inked: MultiPolygon | Polygon, below: float) -> float | None:
    """Return the least line width below ``below``, mm, or None when no line is that narrow.

    >>> narrowest_width(shapely.box(0, 0, 5, 5), below=2.0) is None
    True
    """
    lines = measure_line_widths(inked, below)
    return float(lines.narrowest.min()) if len(lines) else None


def join_lines(lines: Sequence[MiddleLines]) -> MiddleLines:
    """Return the pieces of all, which are of one outline; there must be at least one."""
    names = [field.name for field in fields(MiddleLines) if field.name != "outline"]
    parts = {name: np.concatenate([getattr(part, name) for part in lines]) for name in names}
    return MiddleLines(**parts, outline=lines[0].outline)


def _find_middle_lines(region: MultiPolygon | Polygon, side: Side, below: float, near: Floats | None) -> MiddleLines:
    edges = list_edges(region, side, longest=max(2 * below, 0.5))
    if len(edges) == 0 or below <= 0:
        return _no_lines(edges)
    chosen = np.arange(len(edges)) if near is None else _edges_near(edges, near, below)
    found = [
        _unobstructed(_lines_between(edges, first, second, below))
        for first, second in facing_pairs(edges, chosen, below)
    ]
    found.append(_unobstructed(_throats(edges, chosen, below)))
    return join_lines(found)


def _edges_near(edges: Edges, near: Floats, distance: float) -> Wholes:
    return np.asarray(np.unique(edges.chains.met_by(near[:, :2] - distance, near[:, 2:] + distance)[1]))


def _no_lines(edges: Edges) -> MiddleLines:
    points, widths = np.empty((0, 2)), np.empty(0)
    return MiddleLines(points, points, widths, widths, np.empty((0, 2), dtype=np.int64), edges)


def _lines_between(edges: Edges, first: Wholes, second: Wholes, below: float) -> MiddleLines:
    """Return the middle line between the edges of each pair where both are touched and the disc is below the limit.

    With p at x along the first edge (direction u, inward normal m) and the second through a with normal m', the disc
    tangent at p that also touches the second edge's line has radius r = m'.(p - a) / (1 - m.m'): linear in x, as is the
    touching point's place y along the second edge.
    """
    u, m = edges.along[first], edges.inward[first]
    a, u2, m2 = edges.starts[second], edges.along[second], edges.inward[second]
    span = 1.0 - np.einsum("ij,ij->i", m, m2)
    offset = edges.starts[first] - a
    r0 = np.einsum("ij,ij->i", m2, offset) / span
    r1 = np.einsum("ij,ij->i", m2, u) / span
    # The touching point is q = p + r (m - m2).
    turn = np.einsum("ij,ij->i", u2, m - m2)
    y0 = np.einsum("ij,ij->i", u2, offset) + r0 * turn
    y1 = np.einsum("ij,ij->i", u2, u) + r1 * turn
    low, high = np.zeros(len(first)), edges.lengths[first].copy()
    _narrow((low, high), (y0, y1), edges.lengths[second])
    _narrow((low, high), (r0, r1), np.full(len(first), below / 2))
    real = high - low > 1e-9
    first, second, low, high = first[real], second[real], low[real], high[real]
    u, m, r0, r1 = u[real], m[real], r0[real], r1[real]
    start_radii, end_radii = np.maximum(r0 + r1 * low, 0.0), np.maximum(r0 + r1 * high, 0.0)
    origin = edges.starts[first]
    return MiddleLines(
        starts=origin + low[:, None] * u + start_radii[:, None] * m,
        ends=origin + high[:, None] * u + end_radii[:, None] * m,
        start_widths=2 * start_radii,
        end_widths=2 * end_radii,
        edges=np.column_stack([first, second]),
        outline=edges,
    )


def _narrow(span: tuple[Floats, Floats], line: tuple[Floats, Floats], most: Floats) -> None:
    """Narrow intervals of x, in place, to where 0 <= line[0] + line[1] x <= most."""
    low, high = span
    value, slope = line
    level = np.abs(slope) < 1e-12
    steep = np.where(level, 1.0, slope)
    one, two = -value / steep, (most - value) / steep
    never = level & ((value < 0) | (value > most))
    np.maximum(low, np.where(level, low, np.minimum(one, two)), out=low)
    np.minimum(high, np.where(level, high, np.maximum(one, two)), out=high)
    high[never] = -np.inf


def _throats(edges: Edges, chosen: Wholes, below: float) -> MiddleLines:
    """Return the throats between an inward corner and an edge or another inward corner, as pieces of no length."""
    corners = chosen[edges.turns[chosen] < -_SHARP_TURN]
    if len(corners) == 0:
        return _no_lines(edges)
    points = edges.starts[corners]
    low, high = points - below, points + below
    if are_crowded(low, high, edges):
        corner, two = touched_with_corners(edges, corners, below, SLACK)
    else:
        one, two = edges.chains.met_by(low, high)
        corner = corners[one]
    sharp = np.zeros(len(edges), dtype=bool)
    sharp[corners] = True
    opposite, is_throat = _across(edges, corner, two, sharp)
    apart = opposite - edges.starts[corner]
    width = np.hypot(apart[:, 0], apart[:, 1])
    is_throat &= (width < below) & (width > 1e-12)
    corner, two, apart, width = corner[is_throat], two[is_throat], apart[is_throat], width[is_throat]
    middle = edges.starts[corner] + apart / 2
    return MiddleLines(middle, middle, width, width, np.column_stack([corner, two]), edges)


def _across(edges: Edges, corner: Wholes, other: Wholes, sharp: Flags) -> tuple[Floats, Flags]:
    """Return the point of each other edge that lies straight across from a corner, and whether it makes a throat."""
    point = edges.starts[corner]
    offset = point - edges.starts[other]
    height = np.einsum("ij,ij->i", edges.inward[other], offset)
    place = np.einsum("ij,ij->i", edges.along[other], offset)
    over_edge = (height > 0) & (place > 0) & (place < edges.lengths[other])
    foot = edges.starts[other] + place[:, None] * edges.along[other]
    # Otherwise the other edge stands for the corner at its start; each two corners are taken once.
    to_corner = ~over_edge & sharp[other] & (corner < other)
    opposite = np.where(over_edge[:, None], foot, edges.starts[other])
    towards = opposite - point
    free = over_edge | (to_corner & _opens_to(edges, other, -towards))
    return opposite, free & _opens_to(edges, corner, towards)


def _opens_to(edges: Edges, corner: Wholes, towards: Floats) -> Flags:
    """Say whether a disc that touches a corner, its centre in the given direction, keeps clear of both its edges."""
    slack = 1e-9
    along_before = np.einsum("ij,ij->i", edges.along[edges.leading[corner]], towards)
    along_after = np.einsum("ij,ij->i", edges.along[corner], towards)
    return np.asarray((along_before >= -slack) & (along_after <= slack))


def _unobstructed(lines: MiddleLines) -> MiddleLines:
    """Keep what no third edge obstructs: there the disc is inscribed indeed."""
    if len(lines) == 0:
        return lines
    still = (lines.lengths == 0.0) & (lines.start_widths == lines.end_widths)
    throats = lines.only(still)
    none, whole = np.zeros(len(throats)), np.ones(len(throats))
    throats = throats.only(_is_inscribed(throats, none))
    del none, whole
    lines = lines.only(~still)
    count = len(lines)
    begin, middle, finish = np.zeros(count), np.full(count, 0.5), np.ones(count)
    free = [_is_inscribed(lines, share) for share in (begin, middle, finish)]
    first_half = _trimmed(lines, (begin, middle), (free[0], free[1]))
    second_half = _trimmed(lines, (middle, finish), (free[1], free[2]))
    return join_lines([throats, first_half, second_half])


def _trimmed(lines: MiddleLines, span: tuple[Floats, Floats], free: tuple[Flags, Flags]) -> MiddleLines:
    """Return pieces from span to span; of one with a single free end, the part that is free, found by halving."""
    some = free[0] | free[1]
    lines, first, last = lines.only(some), span[0][some], span[1][some]
    partly = np.flatnonzero(free[0][some] != free[1][some])
    good = np.where(free[0][some], first, last)[partly]
    bad = np.where(free[0][some], last, first)[partly]
    doubtful = lines.only(partly)
    for _ in range(7):
        between = (good + bad) / 2
        reached = _is_inscribed(doubtful, between)
        good, bad = np.where(reached, between, good), np.where(reached, bad, between)
    from_start = free[0][some][partly]
    last[partly[from_start]] = good[from_start]
    first[partly[~from_start]] = good[~from_start]
    return lines.between(first, last)


def _is_inscribed(lines: MiddleLines, share: Floats) -> Flags:
    """Say of the disc at a share of each piece's length whether it holds no part of the outline.

    Corners of polygons that stand for curves reach into the disc by less than the tolerance on curves.
    """
    centres = lines.starts + share[:, None] * (lines.ends - lines.starts)
    radii = (lines.start_widths + share * (lines.end_widths - lines.start_widths)) / 2
    clear = radii - (SLACK[0] + SLACK[1] * radii)
    free = np.ones(len(lines), dtype=bool)
    large = np.flatnonzero(clear > 0)
    free[large[_obstructed(shapely.points(centres[large]), clear[large], lines.outline.chains.tree)]] = False
    return free


def _obstructed(centres: NDArray[np.object_], radii: Floats, tree: shapely.STRtree) -> NDArray[np.int64]:
    """Return numbers of the discs that hold some of the outline, some of them more than once."""
    some = slice(None, None, max(1, len(radii) // _SAMPLE))
    if tree.query(centres[some], "dwithin", distance=radii[some]).shape[1] < _MANY_WITHIN * _SAMPLE:
        within: NDArray[np.int64] = tree.query(centres, "dwithin", distance=radii)[0]
        return within
    # Where discs hold many chains, asking whether there is any is quicker than finding them all.
    outline = shapely.multilinestrings(tree.geometries)
    shapely.prepare(outline)
    return np.flatnonzero(shapely.dwithin(outline, centres, radii))
