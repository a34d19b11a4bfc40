"""Triangles divided along one direction, edge by edge, so that neighbours stay joined and no gap opens.

Every long edge is divided evenly by itself; both triangles on it see the same points, whatever else they look like. A
triangle whose longest edge is divided is then filled between two chains of points, its longest edge and the other two.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]


def divide_along(vertices: Floats, triangles: Indices, step: float) -> tuple[Floats, Indices]:
    """Return the same surface in triangles that reach no further than ``step`` mm along x.

    ``vertices``: (n, 3) float, mm; ``triangles``: (m, 3) int. The vertices come first and unchanged, new ones after
    them; triangles that are short enough come first and unchanged, too.
    """
    along = vertices[:, 0]
    spans = np.ptp(along[triangles.T], axis=0)
    long = spans > step
    if not long.any():
        return vertices, triangles
    # Corners in the order of x: the longest edge runs from the first to the last. ``turned`` is for odd orders.
    corners = triangles[long]
    order = np.argsort(along[corners], axis=1, kind="stable")
    a, b, c = np.take_along_axis(corners, order, axis=1).T
    turned = (order[:, 1] - order[:, 0]) % 3 != 1
    count = len(a)
    pairs = np.concatenate((np.stack((a, b), 1), np.stack((b, c), 1), np.stack((a, c), 1)))
    keys = pairs.min(axis=1) * np.int64(len(vertices)) + pairs.max(axis=1)
    edges, which = np.unique(keys, return_inverse=True)
    low, high = edges // len(vertices), edges % len(vertices)
    # Always from the lower x to the higher, and from the lower number where both are alike.
    backwards = along[low] > along[high]
    low, high = np.where(backwards, high, low), np.where(backwards, low, high)
    pieces = np.maximum(1, np.ceil((along[high] - along[low]) / step - 1e-9).astype(np.int64))
    first = len(vertices) + np.concatenate(([0], np.cumsum(pieces - 1)))
    edge_of = np.repeat(np.arange(len(edges)), pieces - 1)
    inner = np.arange(len(edge_of)) - (first[edge_of] - len(vertices))
    share = ((inner + 1) / pieces[edge_of])[:, None]
    added = vertices[low[edge_of]] * (1.0 - share) + vertices[high[edge_of]] * share
    points = np.concatenate((vertices, added))
    ab, bc, ac = which[:count], which[count : 2 * count], which[2 * count :]
    chains = _Chains(a, b, c, pieces[ab], pieces[ab] + pieces[bc], pieces[ac], first[ab], first[bc], first[ac])
    filled = _fill(points[:, 0], chains)
    owner, filled = filled[:, 0], filled[:, 1:]
    flip = turned[owner]
    filled[flip] = filled[flip][:, [0, 2, 1]]
    return points, np.concatenate((triangles[~long].astype(np.int64), filled))


@dataclass(frozen=True, eq=False)
class _Chains:
    """Two chains of points for each triangle, from corner a to corner c: straight along its longest edge, and by b.

    All (n,) int: the corners' numbers; in how many pieces the way to b, the whole way by b, and the straight way are
    divided; the number of the first inner point of each edge.
    """

    a: Indices
    b: Indices
    c: Indices
    to_b: Indices
    by_b: Indices
    straight: Indices
    in_ab: Indices
    in_bc: Indices
    in_ac: Indices

    def on_straight(self, at: Indices, who: Indices) -> Indices:
        """Return the points numbered ``at``, from 1, on the straight ways of the triangles ``who``."""
        return np.where(at == self.straight[who], self.c[who], self.in_ac[who] + at - 1)

    def on_other(self, at: Indices, who: Indices) -> Indices:
        """Return the points numbered ``at``, from 1, on the ways by corner b, short of corner c."""
        past = at - self.to_b[who]
        beyond = np.where(past == 0, self.b[who], self.in_bc[who] + past - 1)
        return np.where(past < 0, self.in_ab[who] + at - 1, beyond)


def _fill(along: Floats, chains: _Chains) -> Indices:
    """Return (k, 4): number of the triangle that is filled, and three points, as its corners a, b, c run round.

    ``along``: x of all points, mm.
    """
    owner_s, at_s = _counted(chains.straight - 1)
    owner_r, at_r = _counted(chains.by_b - 1)
    # The points inside both chains in the order of x, triangle by triangle: each takes its chain one step further.
    inner = np.concatenate((chains.on_straight(at_s + 1, owner_s), chains.on_other(at_r + 1, owner_r)))
    owner = np.concatenate((owner_s, owner_r))
    other = np.arange(len(owner)) >= len(owner_s)
    order = np.lexsort((along[inner], owner))
    owner, other = owner[order], other[order]
    starts = np.concatenate(([0], np.cumsum(chains.straight + chains.by_b - 2)))[:-1]
    reached_r, reached_s = (_reached(each, starts, owner) for each in (other, ~other))
    # The first step of each chain belongs to the first triangle, with corner a, which both make together.
    steps_r, steps_s = other & (reached_r > 1), ~other & (reached_s > 1)
    who, at, facing = owner[steps_r], reached_r[steps_r], np.maximum(reached_s[steps_r], 1)
    parts = [(who, chains.on_straight(facing, who), chains.on_other(at - 1, who), chains.on_other(at, who))]
    who, at, facing = owner[steps_s], reached_s[steps_s], np.maximum(reached_r[steps_s], 1)
    parts.append((who, chains.on_straight(at - 1, who), chains.on_other(facing, who), chains.on_straight(at, who)))
    every = np.arange(len(chains.a))
    ones = np.ones_like(every)
    parts.append((every, chains.a, chains.on_other(ones, every), chains.on_straight(ones, every)))
    last_r, last_s = chains.on_other(chains.by_b - 1, every), chains.on_straight(chains.straight - 1, every)
    parts.append((every, last_s, last_r, chains.c))
    return np.concatenate([np.stack(part, axis=1) for part in parts])


def _reached(steps: NDArray[np.bool_], starts: Indices, owner: Indices) -> Indices:
    """Return how many of ``steps`` each triangle has taken, at every place; ``starts``: where each triangle begins."""
    done = np.cumsum(steps)
    return done - np.concatenate(([0], done))[starts][owner]


def _counted(counts: Indices) -> tuple[Indices, Indices]:
    """Return for runs of ``counts`` entries which run each belongs to, and its place in the run from 0."""
    owner = np.repeat(np.arange(len(counts)), counts)
    return owner, np.arange(len(owner)) - (np.cumsum(counts) - counts)[owner]
