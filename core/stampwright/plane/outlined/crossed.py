"""Outlines of what edges fill that cross each other often: walked from crossing to crossing.

On the way along a ring, what lies to its left winds once more, or once less, after each edge that is crossed; so one
winding number, where the ring begins, tells all the others. The outlines follow from one crossing to the next, and no
face is looked at by itself. It takes that no three edges meet in one place, or nearly: then nothing comes back, and
the rings are for a way that is slower and takes anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from ..links import Wholes, rounds
from ..rings import FillRule, Flags, Points, bounded_by, edges_of, parted_rings, side_of, winding_fills

MOST_PAIRS = 4_000_000
"""Pairs of edges near each other, both ways, above which they are not looked at: half a gigabyte."""

NEAR = 1e-11
"""Share of the drawing's size below which two places on an edge are too near to say which comes first."""

SHALLOW = 2e-3
"""Sine of the angle below which a crossing may hide that a third edge passes through it, farther off than NEAR."""


def fill_crossed(rings: Sequence[Points], rule: FillRule) -> MultiPolygon | None:
    """Return the region that rings fill, valid; None where edges touch, or three meet in a place, or nearly.

    ``rings``: (n, 2) float arrays, the last point joined to the first and not repeated, no point equal to the next.

    >>> bow = np.array([[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]])
    >>> fill_crossed([bow], "nonzero").area
    2.0
    """
    crossed = _cross(rings)
    if crossed is None:
        return None
    windings = _windings_left(crossed, rings)
    if windings is None:
        return None
    left, right = winding_fills(windings, rule), winding_fills(windings - 1, rule)
    bounding = np.flatnonzero(left != right)
    if not len(bounding):
        return MultiPolygon()
    number = np.full(len(windings), -1)
    number[bounding] = np.arange(len(bounding))
    order, lengths = rounds(number[_following(crossed, left, left != right)[bounding]])
    walked = bounding[order]
    nodes = np.where(left[walked], crossed.from_nodes[walked], crossed.to_nodes[walked])
    return _region(crossed.places[nodes], nodes, lengths)


@dataclass(frozen=True, eq=False)
class _Crossed:
    """Edges cut at their crossings into pieces, in the order of the rings.

    ``places``: (n + k, 2) of n points and k crossings, the nodes. ``from_nodes``, ``to_nodes``, ``edges``: (m,) of each
    piece. ``following``, ``leading``: (n,) edges. ``other_before``: (m,) of a piece whose end is a crossing, the piece
    of the other edge that ends there, -1 at a point of the rings. ``turns``: (m,) 1 where the other edge crosses its
    end from right to left, -1 from left to right, 0 at a point of the rings.
    """

    places: Points
    from_nodes: Wholes
    to_nodes: Wholes
    edges: Wholes
    following: Wholes
    leading: Wholes
    other_before: Wholes
    turns: Wholes


def _cross(rings: Sequence[Points]) -> _Crossed | None:
    starts, ends, owners = edges_of(rings)
    count = len(starts)
    following = np.arange(1, count + 1)
    lasts = np.flatnonzero(np.append(owners[1:] != owners[:-1], True))
    following[lasts] = np.append(0, lasts[:-1] + 1)
    leading = np.empty_like(following)
    leading[following] = np.arange(count)
    found = _crossings(starts, ends, following)
    if found is None:
        return None
    one, two, shares, turn, places = found
    # Every crossing lies on two edges: along each, crossings in their order.
    edge, share = np.concatenate((one, two)), shares.T.ravel()
    # One key sorts sooner than two; what it cannot tell apart is too near, and found to be so below.
    order = np.argsort(edge + share)
    edge, share = edge[order], share[order]
    size = float(np.ptp(starts, axis=0).max())
    lengths = np.hypot(*(ends - starts).T)
    same = edge[1:] == edge[:-1]
    if (np.diff(share)[same] * lengths[edge[1:][same]] < NEAR * size).any():
        return None
    crossing = count + order % len(one) if len(one) else order
    # A crossing ends one piece and begins the next: on edge e, after p crossings on it and before it, pieces e + p.
    ending = np.arange(len(edge)) + edge
    pieces = count + len(edge)
    to_nodes = np.full(pieces, -1)
    to_nodes[ending] = crossing
    own = np.repeat(np.arange(count), np.bincount(edge, minlength=count) + 1)
    point_ends = to_nodes < 0
    to_nodes[point_ends] = following
    from_nodes = np.empty(pieces, dtype=np.int64)
    from_nodes[ending + 1] = crossing
    from_nodes[np.append(True, own[1:] != own[:-1])] = np.arange(count)
    place_of = np.empty(len(order), dtype=np.int64)
    place_of[order] = ending
    partner = np.roll(place_of, len(one))[order]
    other_before, turns = np.full(pieces, -1), np.zeros(pieces, dtype=np.int64)
    other_before[ending] = partner
    turns[ending] = np.where(order < len(one), turn[order % max(len(one), 1)], -turn[order % max(len(one), 1)])
    return _Crossed(
        np.concatenate((starts, places)), from_nodes, to_nodes, own, following, leading, other_before, turns
    )


def _crossings(starts: Points, ends: Points, following: Wholes) -> tuple[Wholes, Wholes, Points, Wholes, Points] | None:
    """Return the crossings: both edges, shares along them (k, 2), turn from the first to the second, and places.

    None where an edge touches another or lies on it, or a third edge passes a crossing too near.
    """
    boxes = shapely.box(*np.minimum(starts, ends).T, *np.maximum(starts, ends).T)
    tree = shapely.STRtree(boxes)
    sample = boxes[:: max(1, len(boxes) // 200)]
    if tree.query(sample).shape[1] / len(sample) * len(boxes) > MOST_PAIRS:
        return None
    one, two = tree.query(boxes)
    apart = one < two
    one, two = one[apart], two[apart]
    a, b, c, d = starts[one], ends[one], starts[two], ends[two]
    of_c, of_d, of_a, of_b = side_of(a, b, c), side_of(a, b, d), side_of(c, d, a), side_of(c, d, b)
    joined = (following[one] == two) | (following[two] == one)
    crossed = (of_c * of_d < 0) & (of_a * of_b < 0) & ~joined
    if _touches(starts, ends, (one, two), (of_a, of_b, of_c, of_d), following):
        return None
    one, two = one[crossed], two[crossed]
    of_a, of_b, of_c, of_d = of_a[crossed], of_b[crossed], of_c[crossed], of_d[crossed]
    shares = np.column_stack((of_a / (of_a - of_b), of_c / (of_c - of_d)))
    along = ends[one] - starts[one]
    places = starts[one] + shares[:, :1] * along
    turn = np.where(of_d > 0, 1, -1)
    return (one, two, shares, turn, places) if _clear(starts, ends, one, two, places) else None


def _touches(
    starts: Points, ends: Points, pairs: tuple[Wholes, Wholes], sides: tuple[Points, ...], following: Wholes
) -> bool:
    """Whether an end of an edge lies on another edge, or nearly; ends that rings join are no touch.

    ``sides``: of each pair, on which side of the second lie the ends of the first, and the other way about.
    """
    near = NEAR * float(np.ptp(starts, axis=0).max())
    lengths = np.hypot(*(ends - starts).T)
    for at, side in enumerate(sides):
        pointed, passed = pairs if at < 2 else pairs[::-1]
        close = np.flatnonzero(np.abs(side) < near * lengths[passed])
        mine, other = pointed[close], passed[close]
        own = following[other] == mine if at % 2 == 0 else following[mine] == other
        mine, other = mine[~own], other[~own]
        points = starts[mine] if at % 2 == 0 else ends[mine]
        share = np.einsum("ij,ij->i", points - starts[other], ends[other] - starts[other]) / lengths[other]
        if ((share > -near) & (share < lengths[other] + near)).any():
            return True
    return False


def _clear(starts: Points, ends: Points, one: Wholes, two: Wholes, places: Points) -> bool:
    """Whether no third edge passes through a shallow crossing, or nearly; through others it shows along their edges."""
    units = (ends - starts) / np.hypot(*(ends - starts).T)[:, None]
    angle = np.abs(units[one, 0] * units[two, 1] - units[one, 1] * units[two, 0])
    shallow = np.flatnonzero(angle < SHALLOW)
    if len(shallow) * len(starts) > MOST_PAIRS:
        return False
    near = NEAR * float(np.ptp(starts, axis=0).max())
    for at in shallow.tolist():
        away = places[at] - starts
        aside = np.abs(units[:, 0] * away[:, 1] - units[:, 1] * away[:, 0]) < near
        along = np.einsum("ij,ij->i", units, away)
        passing = np.flatnonzero(aside & (along > -near) & (along < np.hypot(*(ends - starts).T) + near))
        if len(passing) > 2:
            return False
    return True


def _windings_left(crossed: _Crossed, rings: Sequence[Points]) -> Wholes | None:
    """Return how often the rings wind round what lies to the left of each piece, (m,)."""
    starts = crossed.places[: len(crossed.following)]
    if len(rings) * len(starts) > MOST_PAIRS:
        return None
    owners = np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])[crossed.edges]
    # An edge that crosses from right to left has what it passes on to on its right, where it winds once less.
    steps = np.cumsum(-crossed.turns)
    changed = steps + crossed.turns
    firsts = np.searchsorted(owners, np.arange(len(rings)))
    lasts = np.append(firsts[1:], len(owners))
    begun = [_winding_at(crossed, first, last) for first, last in zip(firsts, lasts, strict=True)]
    probes = np.array([probe for probe, _ in begun])
    known = np.array([winding for _, winding in begun])
    return np.asarray(changed + (known - changed[probes])[owners])


def _winding_at(crossed: _Crossed, first: int, last: int) -> tuple[int, int]:
    """Return that of a ring's pieces, ``first`` to ``last``, which rises or falls most, and the winding to its left."""
    places, starts = crossed.places, crossed.places[: len(crossed.following)]
    height = places[:, 1].copy()
    rise = height[crossed.to_nodes[first:last]] - height[crossed.from_nodes[first:last]]
    probe = int(np.abs(rise).argmax())
    x, y = (places[crossed.from_nodes[first + probe]] + places[crossed.to_nodes[first + probe]]) / 2
    (x0, y0), (x1, y1) = starts.T, starts[crossed.following].T
    side = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
    upward, downward = (y0 <= y) & (y < y1) & (side > 0), (y1 <= y) & (y < y0) & (side < 0)
    own = crossed.edges[first + probe]
    upward[own] = downward[own] = False
    winding = int(upward.sum()) - int(downward.sum())
    # The ray leaves to the right: on that side is what lies left of an edge that falls, and right of one that rises.
    return first + probe, winding + int(rise[probe] > 0)


def _following(crossed: _Crossed, forward: Flags, bounding: Flags) -> Wholes:
    """Return for each piece the one that follows it with the ink on the left, where both bound the ink.

    ``forward``: the ink lies to the left of the ring's own way; else the piece is walked backwards.
    """
    count = len(forward)
    firsts = np.flatnonzero(np.append(True, crossed.edges[1:] != crossed.edges[:-1]))
    lasts = np.append(firsts[1:], count) - 1
    pieces = np.arange(count)
    before = pieces - 1
    # Where a piece walked backwards ends: at the crossing in which the piece before it ends.
    crossing = np.where(forward, pieces, before)
    at_point = np.where(forward, crossed.turns == 0, False)
    at_point[firsts] |= ~forward[firsts]
    turn = np.where(forward, crossed.turns, -crossed.turns[before])
    other = crossed.other_before[crossing]
    # Turning left into the other edge's next piece, if that crosses from right to left, else into the one before.
    left = np.where(turn > 0, other + 1, other)
    ahead = np.where(forward, np.minimum(pieces + 1, count - 1), before)
    right = np.where(turn > 0, other, other + 1)
    at_crossing = np.where(bounding[left], left, np.where(bounding[ahead], ahead, right))
    along_ring = np.where(forward, firsts[crossed.following[crossed.edges]], lasts[crossed.leading[crossed.edges]])
    return np.where(at_point, along_ring, at_crossing)


def _region(corners: Points, nodes: Wholes, lengths: Wholes) -> MultiPolygon | None:
    """Return the region that closed walks bound; ``nodes`` are of their corners, ``lengths`` of the walks."""
    walks = np.repeat(np.arange(len(lengths)), lengths)
    firsts = np.cumsum(lengths) - lengths
    offset = corners - corners[firsts][walks]
    following = np.arange(1, len(corners) + 1)
    following[firsts + lengths - 1] = firsts
    areas = np.add.reduceat(offset[:, 0] * offset[following, 1] - offset[:, 1] * offset[following, 0], firsts)
    keys = walks * np.int64(nodes.max() + 1) + nodes
    keys.sort()
    passed = np.unique(keys[1:][keys[1:] == keys[:-1]] // (nodes.max() + 1))
    if (areas <= 0).any():
        return bounded_by(parted_rings(np.split(corners, firsts[1:])))
    twice = np.zeros(len(lengths), dtype=np.bool_)
    twice[passed] = True
    once = ~twice[walks]
    numbers = np.cumsum(~twice) - 1
    parts = [shapely.polygons(shapely.linearrings(corners[once], indices=numbers[walks[once]]))] if once.any() else []
    for walk in passed.tolist():
        ring = corners[firsts[walk] : firsts[walk] + lengths[walk]]
        region = bounded_by(parted_rings([ring]))
        if region is None:
            return None
        parts.append(shapely.get_parts(region))
    return cast(MultiPolygon, shapely.multipolygons(np.concatenate(parts)))
