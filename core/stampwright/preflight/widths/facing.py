"""Edges that face each other: pairs that one inscribed disc may touch, so that ink or paper is narrow between them.

What counts as facing is one rule: two edges at most :data:`WIDEST_TAPER` apart in direction. A taper of angle t is
narrower than a limit d over a length of d/2 (1 / sin(t/2) - 1) beyond the last disc of diameter d; the rule is where
that is two limits: sin(t/2) = 1/5, t = 23.07 degrees. So the corner of a square or of a star is a corner, while the end
of a thorn is a thin line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from .crowded import are_crowded, touched_with_edges
from .edges import MEASURING_ERROR, Edges, Floats, Wholes

WIDEST_TAPER = math.degrees(2 * math.asin(1 / 5))
"""Angle between two edges up to which they face each other, degrees: 23.07."""

SLACK = (0.3 * MEASURING_ERROR, 0.01)
"""By how much an inscribed disc may hold outline: mm, and a share of its radius; curves are polygons to a tolerance."""

_FACING = -math.cos(math.radians(WIDEST_TAPER))
# Pairs of edges that are looked at in one go: bounds memory to some 100 MB.
_MOST_PAIRS_AT_ONCE = 2_000_000
_CHUNK = 8192


def facing_pairs(edges: Edges, chosen: Wholes, below: float) -> list[tuple[Wholes, Wholes]]:
    """Return pairs of edges that face each other within ``below``, each pair once, in batches."""
    # The disc that touches an edge at p and a facing one at q has q within ``below`` along the normal and, since the
    # directions differ by no more than the widest taper, within radius * sin(taper) < 0.2 below sideways.
    far = below * edges.inward
    low = np.minimum(edges.chains.low, edges.chains.low + far) - 0.2 * below
    high = np.maximum(edges.chains.high, edges.chains.high + far) + 0.2 * below
    pairs = (
        _near_one_by_one(edges, chosen, below)
        if are_crowded(low[chosen], high[chosen], edges)
        else _near_by_chains(edges, chosen, low, high)
    )
    batches, kept, size = [], [], 0
    for one, two in pairs:
        facing = np.einsum("ij,ij->i", edges.inward[one], edges.inward[two]) <= _FACING
        kept.append((one[facing], two[facing]))
        size += int(facing.sum())
        if size > _MOST_PAIRS_AT_ONCE:
            batches.append(kept)
            kept, size = [], 0
    batches.append(kept)
    return [
        (np.concatenate([one for one, _ in batch]), np.concatenate([two for _, two in batch]))
        for batch in batches
        if batch
    ]


def _near_one_by_one(edges: Edges, chosen: Wholes, below: float) -> Iterator[tuple[Wholes, Wholes]]:
    """Yield pairs of edges, the first chosen and numbered lower, that one inscribed disc may touch."""
    for begin in range(0, len(chosen), _CHUNK):
        one, two = touched_with_edges(edges, chosen[begin : begin + _CHUNK], below, SLACK)
        yield one[one < two], two[one < two]


def _near_by_chains(edges: Edges, chosen: Wholes, low: Floats, high: Floats) -> Iterator[tuple[Wholes, Wholes]]:
    """Yield pairs of edges, the first chosen and numbered lower, whose box the first one's meets.

    ``low``, ``high``: (n, 2) the corners of the boxes of the first ones, mm. Chains of which no two edges face each
    other are left out before their edges are looked at.
    """
    chains = edges.chains
    wanted = np.zeros(len(edges), dtype=bool)
    wanted[chosen] = True
    firsts = chains.firsts[:-1]
    low_box, high_box = np.minimum.reduceat(low, firsts), np.maximum.reduceat(high, firsts)
    least, most = np.minimum.reduceat(edges.inward, firsts), np.maximum.reduceat(edges.inward, firsts)
    asking = np.flatnonzero(np.logical_or.reduceat(wanted, firsts))
    for begin in range(0, len(asking), _CHUNK):
        part = asking[begin : begin + _CHUNK]
        one, two = chains.chains_met_by(low_box[part], high_box[part])
        one = part[one]
        ends = [bound[one] * other[two] for bound in (least, most) for other in (least, most)]
        may_face = (one <= two) & (np.minimum.reduce(ends).sum(axis=1) <= _FACING)
        one, two = one[may_face], two[may_face]
        of_pair, first = chains.edges_of(one)
        of_first, second = chains.edges_of(two[of_pair])
        first = first[of_first]
        near = (first < second) & wanted[first]
        first, second = first[near], second[near]
        met = (chains.low[second] <= high[first]).all(axis=1) & (chains.high[second] >= low[first]).all(axis=1)
        yield first[met], second[met]
