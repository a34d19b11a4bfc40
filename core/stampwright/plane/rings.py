"""Rings that do not cross: which surrounds which, and the regions that they bound.

The ring round another is found with one ray: from a ring's leftmost edge to the left, the first edge of another ring
tells both which ring it is and on which side of it the ray began. Of a heap of rings each is compared with one or two
others so, however deep they lie in each other, where testing every ring against all that might hold it would take their
number squared.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, cast

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from .beside import look_beside
from .chains import Chains
from .regions import all_valid

Points = NDArray[np.float64]
Wholes = NDArray[np.int64]
Flags = NDArray[np.bool_]
Polygons = NDArray[np.object_]

FillRule = Literal["nonzero", "evenodd", "positive"]

ALONG = 0.3819660112501051
"""Where on its edge a ray goes out, as a share: from the middle, rays between corners of a grid meet other corners."""

FEW = 4
"""Of so many rings one at most meets others where those are nested by themselves."""

FIRST_LOOK = 2.0
"""How far rays look at first, in the spacing that edges would have if they were spread evenly."""


def edges_of(rings: Sequence[Points]) -> tuple[Points, Points, Wholes]:
    """Return the edges of all rings, (n, 2) starts and (n, 2) ends, and the ring of each, (n,)."""
    lengths = np.array([len(ring) for ring in rings], dtype=np.int64)
    starts = np.concatenate(rings)
    lasts = np.cumsum(lengths) - 1
    following = np.arange(1, len(starts) + 1)
    following[lasts] = lasts - lengths + 1
    return starts, starts[following], np.repeat(np.arange(len(rings)), lengths)


def side_of(p: Points, q: Points, r: Points) -> Points:
    """Return on which side of lines from p to q, (..., 2), lies r: above 0 on the left, twice the area of the three."""
    return cross_product(q - p, r - p)


def cross_product(one: Points, other: Points) -> Points:
    """Return the vector products of ways in the plane, (..., 2): above 0 where ``other`` turns to the left."""
    product: Points = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return product


def _owners(rings: Sequence[Points]) -> Wholes:
    return np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])


@dataclass(frozen=True, eq=False)
class Nested:
    """Rings and the ring round each.

    ``rings``: (m,) shapely linear rings. ``turns``: (m,) 1 counter-clockwise, -1 clockwise. ``parents``: (m,) number of
    the innermost ring round each, -1 for none.
    """

    rings: Polygons
    turns: Wholes
    parents: Wholes


def nest_rings(rings: Sequence[Points]) -> Nested | None:
    """Return which of ``rings`` lies in which; None when two of them cross, or one crosses or touches itself.

    ``rings``: (n, 2) float arrays, the last point joined to the first and not repeated. Points in common are no
    crossing. Takes n log n for n points in all.

    >>> square = np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 4.0], [0.0, 4.0]])
    >>> nest_rings([square / 2 + 1, square]).parents.tolist()
    [1, -1]
    >>> nest_rings([square + 2, square]) is None
    True
    """
    starts, ends, owners = edges_of(rings)
    lines = shapely.linearrings(starts, indices=owners)
    if not shapely.is_valid(shapely.polygons(lines)).all():
        return None
    turns = np.where(shapely.is_ccw(lines), 1, -1)
    beside = look_beside(lines)
    if beside is not None and len(met := beside.meeting()) * FEW < len(rings):
        touching = nest_rings([rings[at] for at in met.tolist()]) if len(met) else None
        if len(met) and touching is None:
            return None
        outer, inner = beside.holding()
        if touching is not None:
            holders, held = _ancestors(touching.parents)
            outer, inner = np.append(outer, met[holders]), np.append(inner, met[held])
        return Nested(lines, turns, beside.innermost(outer, inner))
    edges = _Edges.of(starts, ends, owners, turns)
    parents = _parents(edges, len(rings))
    if parents is None or not _faces_hold(lines, parents):
        return None
    return Nested(lines, edges.turns, parents)


def _ancestors(parents: Wholes) -> tuple[Wholes, Wholes]:
    """Return all pairs of a ring round another, by the ring round each: outer ones, and inner ones, (k,) each."""
    outer, inner = [np.empty(0, dtype=np.int64)], [np.empty(0, dtype=np.int64)]
    above, below = parents, np.arange(len(parents))
    while (going := above >= 0).any():
        above, below = above[going], below[going]
        outer.append(above)
        inner.append(below)
        above = parents[above]
    return np.concatenate(outer), np.concatenate(inner)


def fill_nested(nested: Nested, rule: FillRule) -> MultiPolygon | None:
    """Return what nested rings fill: where they wind round not zero times, an odd number, or more than zero.

    The first two are the rules of SVG 2, section 13.4.2. None comes back when a hole lies in no ink.
    """
    turns, parents = nested.turns, nested.parents
    within = _summed_up(np.ones_like(turns) if rule == "evenodd" else turns, parents)
    around = np.where(parents >= 0, within[parents], 0)
    filled_in, filled_out = (winding_fills(winding, rule) for winding in (within, around))
    return _region(nested, filled_in & ~filled_out, filled_out & ~filled_in)


def winding_fills(windings: Wholes, rule: FillRule) -> Flags:
    """Whether places fill that rings wind round so often, (n,), by a rule as for :func:`fill_nested`."""
    return windings != 0 if rule == "nonzero" else windings > 0 if rule == "positive" else windings % 2 == 1


def bounded_by(rings: Sequence[Points]) -> MultiPolygon | None:
    """Return the region that oriented rings bound, ink on their left; None when they cross or do not bound one.

    ``rings``: (n, 2) float arrays, outer ones counter-clockwise, holes clockwise, the first point not repeated.
    """
    if not len(rings):
        return MultiPolygon()
    shells = shapely.polygons(shapely.linearrings(np.concatenate(rings), indices=_owners(rings)))
    if shapely.is_ccw(shapely.get_exterior_ring(shells)).all():
        # Nothing is within anything, unless they cross.
        region = shapely.multipolygons(shells)
        if region.is_valid:
            return cast(MultiPolygon, region)
    nested = nest_rings(rings)
    if nested is None:
        return None
    return _region(nested, nested.turns > 0, nested.turns < 0)


def parted_rings(rings: list[Points]) -> list[Points]:
    """Return rings parted at every point that they pass twice, (n, 2) each; parts of fewer than three points go."""
    if not rings:
        return []
    points = np.concatenate(rings)
    owners = np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])
    order = np.lexsort((points[:, 1], points[:, 0], owners))
    again = (points[order[1:]] == points[order[:-1]]).all(axis=1) & (owners[order[1:]] == owners[order[:-1]])
    passing = set(owners[order[1:][again]].tolist())
    return [part for at, ring in enumerate(rings) for part in (_loops(ring) if at in passing else [ring])]


def _loops(ring: Points) -> list[Points]:
    loops: list[list[int]] = []
    walk: list[int] = []
    place: dict[tuple[float, float], int] = {}
    corners = [(x, y) for x, y in ring.tolist()]
    for at, corner in enumerate(corners):
        if corner in place:
            begin = place[corner]
            loops.append(walk[begin:])
            for passed in walk[begin:]:
                del place[corners[passed]]
            del walk[begin:]
        place[corner] = len(walk)
        walk.append(at)
    return [ring[loop] for loop in (*loops, walk) if len(loop) >= 3]


def _region(nested: Nested, shells: Flags, holes: Flags) -> MultiPolygon | None:
    """Return polygons of the shells, each with the holes whose nearest boundary outwards it is."""
    numbers = np.arange(len(shells))
    # Rings with ink, or paper, on both sides bound nothing: what they hold belongs to the ring round them.
    outwards = np.where(shells | holes | (nested.parents < 0), numbers, nested.parents)
    while ((further := outwards[outwards]) != outwards).any():
        outwards = further
    held = np.flatnonzero(holes)
    around = np.where(nested.parents[held] >= 0, outwards[nested.parents[held]], -1)
    if (around < 0).any() or not shells[around].all():
        return None
    polygons = all_valid(_polygons(nested.rings, np.flatnonzero(shells), held, around))
    # A hundred times as fast as the class's own constructor, which looks at every part.
    return cast(MultiPolygon, shapely.multipolygons(shapely.get_parts(polygons)))


def _polygons(rings: Polygons, shells: Wholes, holes: Wholes, around: Wholes) -> Polygons:
    """Return a polygon for each shell, with the holes that it is ``around``."""
    ring = np.concatenate((shells, holes))
    polygon = np.concatenate((np.arange(len(shells)), np.searchsorted(shells, around)))
    # Stable, so that the shell stays first of its polygon.
    order = np.argsort(polygon, kind="stable")
    made: Polygons = shapely.polygons(rings[ring[order]], indices=polygon[order])
    return made


def _faces_hold(rings: Polygons, parents: Wholes) -> bool:
    """Whether every ring holds its children, none of which crosses another: then no two rings cross at all."""
    inner = np.flatnonzero(parents >= 0)
    outermost = np.flatnonzero(parents < 0)
    shells = np.unique(parents[inner])
    if _crosses(_polygons(rings, shells, inner, parents[inner])):
        return False
    if len(outermost) == 1:
        return True
    return bool(shapely.is_valid(shapely.multipolygons(shapely.polygons(rings[outermost]))))


def _crosses(polygons: Polygons) -> bool:
    """Whether rings of a polygon cross; chains of them that touch, and so part the polygon in two, do not."""
    reasons = shapely.is_valid_reason(polygons[~shapely.is_valid(polygons)])
    return not all(reason.startswith("Interior is disconnected") for reason in reasons.tolist())


def _summed_up(values: Wholes, parents: Wholes) -> Wholes:
    """Return for each ring the sum of values over it and all rings round it, by doubling the steps outwards."""
    sums, above = values.copy(), parents.copy()
    while (going := above >= 0).any():
        sums = sums + np.where(going, sums[above], 0)
        above = np.where(going, above[above], -1)
    return sums


@dataclass(frozen=True, eq=False)
class _Edges:
    """Edges of all rings: (n, 2) ``starts`` and ``ends``, the ring of each, each ring's turn, and its probing edge."""

    starts: Points
    ends: Points
    owners: Wholes
    turns: Wholes
    probes: Wholes

    @classmethod
    def of(cls, starts: Points, ends: Points, owners: Wholes, turns: Wholes) -> _Edges:
        firsts = np.searchsorted(owners, np.arange(len(turns)))
        leading = np.arange(-1, len(starts) - 1)
        leading[firsts] = np.append(firsts[1:], len(starts)) - 1
        leftmost = np.lexsort((starts[:, 0], owners))[firsts]
        step, before = ends[leftmost] - starts[leftmost], starts[leading[leftmost]] - starts[leftmost]
        steep = np.abs(step[:, 1]) * np.hypot(*before.T) >= np.abs(before[:, 1]) * np.hypot(*step.T)
        # Of the two edges at a ring's leftmost point the steeper one has what lies outside the ring on its left.
        return cls(starts, ends, owners, turns, np.where(steep, leftmost, leading[leftmost]))


def _parents(edges: _Edges, count: int) -> Wholes | None:
    """Return the ring round each ring, -1 for none; None where that runs in circles, as it does when rings cross."""
    chains = Chains.of(edges.starts, edges.ends)
    origins = edges.starts[edges.probes] + ALONG * (edges.ends[edges.probes] - edges.starts[edges.probes])
    # Rings that see each other from outside are siblings, and look for what is round them as one group.
    groups = np.arange(count)
    beside, inside = np.full(count, -1), np.full(count, -1)
    asking = np.arange(count)
    while len(asking):
        order = asking[np.lexsort((origins[asking, 0], groups[asking]))]
        speakers = order[np.unique(groups[order], return_index=True)[1]]
        hit, holds = _first_hits(edges, chains, origins[speakers], edges.probes[speakers], groups)
        beside[groups[speakers]] = np.where((hit >= 0) & ~holds, hit, -1)
        inside[groups[speakers]] = np.where(holds, hit, -1)
        asking = _joined_circles(groups, beside, count)
    ends = np.where(beside[groups] >= 0, groups[beside[groups]], groups)
    while ((further := ends[ends]) != ends).any():
        ends = further
    parents: Wholes = inside[ends]
    return None if _runs_in_circles(parents) else parents


def _joined_circles(groups: Wholes, beside: Wholes, count: int) -> Wholes:
    """Join, in place, the groups whose ways to siblings never end; returns the rings of those joined."""
    on = np.where(beside[groups] >= 0, groups[beside[groups]], -1)
    steps = on.copy()
    for _ in range(int(count).bit_length() + 1):
        steps = np.where(steps >= 0, steps[steps], -1)
    stuck = np.flatnonzero(steps >= 0)
    if len(stuck):
        least = np.arange(count)
        np.minimum.at(least, groups[stuck], groups[on[stuck]])
        np.minimum.at(least, groups[on[stuck]], groups[stuck])
        while ((further := least[least]) != least).any():
            least = further
        groups[stuck] = least[groups[stuck]]
    return stuck


def _runs_in_circles(parents: Wholes) -> bool:
    above = parents
    for _ in range(len(parents).bit_length() + 1):
        above = np.where(above >= 0, above[above], -1)
    return bool((above >= 0).any())


def _first_hits(edges: _Edges, chains: Chains, origins: Points, probes: Wholes, groups: Wholes) -> tuple[Wholes, Flags]:
    """Return for each ray to the left the ring of another group that it meets first, and whether it began inside.

    -1 stands for none. Rays look twice as far each time, so that few edges are looked at beyond the one that is met.
    """
    low, high = chains.low.min(axis=0), chains.high.max(axis=0)
    width, height = high - low
    look = FIRST_LOOK * max(float(width), float(height)) / max(len(edges.starts), 1) ** 0.5
    hit, holds = np.full(len(origins), -1), np.zeros(len(origins), dtype=bool)
    left = np.arange(len(origins))
    while len(left):
        x, y = origins[left].T
        ray, edge = chains.met_by(np.column_stack((x - look, y)), origins[left])
        ray, edge, across = _met(edges, ray, edge, origins[left])
        met = (across >= (x - look)[ray]) & (edge != probes[left][ray])
        ray, edge = ray[met], edge[met]
        ring = edges.owners[edge]
        own = groups[ring] == groups[edges.owners[probes[left[ray]]]]
        # Between two edges of its own group a ray runs through that group, and what it meets there lies within.
        passed = np.cumsum(own) - own
        first_of_ray = np.searchsorted(ray, ray)
        telling = np.flatnonzero(~own & ((passed - passed[first_of_ray]) % 2 == 0))
        rays, at = np.unique(ray[telling], return_index=True)
        seen = telling[at]
        downward = edges.ends[edge[seen], 1] < edges.starts[edge[seen], 1]
        hit[left[rays]] = ring[seen]
        holds[left[rays]] = downward == (edges.turns[ring[seen]] > 0)
        unmet = hit[left] < 0
        left = left[unmet & (origins[left, 0] - look > low[0])]
        look *= 2
    return hit, holds


def _met(edges: _Edges, ray: Wholes, edge: Wholes, origins: Points) -> tuple[Wholes, Wholes, Points]:
    """Return rays, the edges that they meet, and at which x, ray by ray, the nearest first."""
    one, other = edges.starts[edge], edges.ends[edge]
    upward = (one[:, 1] <= other[:, 1])[:, None]
    (x0, y0), (x1, y1) = np.where(upward, one, other).T, np.where(upward, other, one).T
    x, y = origins[ray].T
    lean = (x1 - x0) / np.where(y1 == y0, 1.0, y1 - y0)
    # Reckoned from their lower ends, edges that rise from one point tie there; just above, they part as they lean.
    across = x0 + (y - y0) * lean
    met = np.flatnonzero((y0 <= y) & (y < y1) & (across < x))
    order = met[np.lexsort((-lean[met], -across[met], ray[met]))]
    return ray[order], edge[order], across[order]
