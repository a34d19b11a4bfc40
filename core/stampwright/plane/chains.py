"""Outlines as chains of edges that follow each other: what lies near is found among far fewer objects than edges."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

Points = NDArray[np.float64]
Wholes = NDArray[np.int64]
Flags = NDArray[np.bool_]

LONGEST = 5
"""Edges in a chain at most: a tree of longer ones is built sooner, but finds more that is not meant."""


@dataclass(frozen=True, eq=False)
class Chains:
    """Straight edges from ``starts`` to ``ends``, (n, 2), mm, in chains of which each edge starts where one ended.

    ``firsts``: (c + 1,) the first edge of each chain, and how many edges there are.
    """

    starts: Points
    ends: Points
    firsts: Wholes

    @classmethod
    def of(cls, starts: Points, ends: Points) -> Chains:
        """Return edges in chains of up to :data:`LONGEST`, in the order in which they are given."""
        count = len(starts)
        apart = np.ones(count + 1, dtype=bool)
        if count:
            apart[1:-1] = (starts[1:] != ends[:-1]).any(axis=1)
        runs = np.flatnonzero(apart)
        place = np.arange(count + 1) - np.repeat(runs, np.diff(np.append(runs, count + 1)))
        return cls(starts, ends, np.flatnonzero(place % LONGEST == 0))

    @cached_property
    def sizes(self) -> Wholes:
        """How many edges each chain has, (c,)."""
        return np.diff(self.firsts)

    @cached_property
    def low(self) -> Points:
        """The lower left corner of the box round each edge, (n, 2) mm."""
        return np.minimum(self.starts, self.ends)

    @cached_property
    def high(self) -> Points:
        """The upper right corner of the box round each edge, (n, 2) mm."""
        return np.maximum(self.starts, self.ends)

    @cached_property
    def _low(self) -> Points:
        return self.low.T.copy()

    @cached_property
    def _high(self) -> Points:
        return self.high.T.copy()

    @cached_property
    def tree(self) -> shapely.STRtree:
        """A tree of the chains as lines."""
        chains = len(self.sizes)
        if not chains:
            return shapely.STRtree([])
        # Every chain has its edges' starts, and the last one's end.
        owner = np.repeat(np.arange(chains), self.sizes + 1)
        points = np.empty((len(owner), 2))
        last = np.cumsum(self.sizes + 1) - 1
        inner = np.ones(len(owner), dtype=bool)
        inner[last] = False
        points[inner], points[last] = self.starts, self.ends[self.firsts[1:] - 1]
        return shapely.STRtree(shapely.linestrings(points, indices=owner))

    def distances(self, points: Points) -> Points:
        """Return how far each of ``points``, (k, 2), lies from the nearest edge, (k,) mm; there must be one."""
        (asked, _), found = self.tree.query_nearest(shapely.points(points), return_distance=True, all_matches=False)
        distances = np.full(len(points), np.inf)
        distances[asked] = found
        return distances

    def distances_within(self, points: Points, bounds: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return what :meth:`distances` does, sooner, where no point lies farther off than its ``bounds``, (k,) mm."""
        reach = (bounds * (1.0 + 1e-9))[:, None]
        point, edge = self.met_by(points - reach, points + reach)
        start, way = self.starts[edge], (self.ends - self.starts)[edge]
        apart = points[point] - start
        square = np.einsum("ij,ij->i", way, way)
        share = np.einsum("ij,ij->i", apart, way) / np.where(square > 0, square, 1.0)
        apart -= np.clip(share, 0.0, 1.0)[:, None] * way
        found = np.hypot(apart[:, 0], apart[:, 1])
        firsts = np.flatnonzero(np.diff(point, prepend=-1))
        distances = bounds.copy()
        distances[point[firsts]] = np.minimum(np.minimum.reduceat(found, firsts) if len(firsts) else found, bounds)
        return distances

    def met_by(self, low: Points, high: Points) -> tuple[Wholes, Wholes]:
        """Return pairs of numbers: of boxes from ``low`` to ``high``, (k, 2) mm, and of edges whose boxes they meet."""
        box, chain = self.chains_met_by(low, high)
        which, edge = self.edges_of(chain)
        return self._meeting(box[which], edge, low, high)

    def _meeting(self, box: Wholes, edge: Wholes, low: Points, high: Points) -> tuple[Wholes, Wholes]:
        """Return those pairs of boxes and edges whose boxes meet; one side after the other, most soon fall away."""
        for least, most, begin, end in zip(self._low, self._high, low.T.copy(), high.T.copy(), strict=True):
            meet = np.flatnonzero((least[edge] <= end[box]) & (most[edge] >= begin[box]))
            box, edge = box[meet], edge[meet]
        return box, edge

    def starts_met(self) -> tuple[Wholes, Wholes]:
        """Return pairs of edges of which the first starts within the box round the second, itself too."""
        one, two = self.tree.query(self.tree.geometries)
        of_pair, first = self.edges_of(one)
        of_first, second = self.edges_of(two[of_pair])
        return self._meeting(first[of_first], second, self.starts, self.starts)

    def chains_met_by(self, low: Points, high: Points) -> tuple[Wholes, Wholes]:
        """Return pairs of numbers: of boxes from ``low`` to ``high``, (k, 2) mm, and of chains that they meet."""
        box, chain = self.tree.query(shapely.box(*low.T, *high.T))
        return box.astype(np.int64, copy=False), chain.astype(np.int64, copy=False)

    def edges_of(self, chains: Wholes) -> tuple[Wholes, Wholes]:
        """Return the edges of ``chains``, one after the other, each after the place of its chain among them."""
        sizes = self.sizes[chains]
        which = np.repeat(np.arange(len(chains)), sizes)
        return which, np.arange(len(which)) + (self.firsts[chains] - (np.cumsum(sizes) - sizes))[which]
