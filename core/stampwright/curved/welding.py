"""The two ends of a repeat cut through its relief, joined: points of each side are set into the edges of the other.

Both ends are cuts through the same relief, a repeat apart, but not through the same triangles: where one has a point in
the middle of an edge of the other, that edge is divided there, so that no gap is left.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ..errors import SolidError
from ..solids.soundness import drop_unused
from .cutting import cut_between

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

SEAM_ERROR = 0.01
"""How far the two sides of a seam may lie apart at the face before they are joined, mm."""

FLANK_ERROR = 0.06
"""The same below the face, mm, where nothing prints and flanks are as fine as they need be."""

_SAME, _SAME_BELOW = 0.002, 0.03  # mm; points of both sides that lie so close, at the face and below, are one
_ON_CUT = 2e-4  # mm; what lies so close to a cut lies on it: less than the grid of outlines


@dataclass(frozen=True, eq=False)
class Ends:
    """A repeat open at both ends: ``starts``, (k,) numbers of its points at one, and those at the other they meet."""

    points: Floats
    triangles: Indices
    starts: Indices
    meets: Indices


def weld_ends(points: Floats, triangles: Indices, low: float, high: float, *, face: float, name: str) -> Ends:
    """Return what of a flat mesh lies from x = ``low`` to ``high``, mm, its two ends made to meet point by point.

    ``points``: (n, 3) float, mm, of a mesh that reaches over both. ``face``: height of its finished face, mm. Raises
    :class:`~stampwright.errors.SolidError` when the ends lie further apart than :data:`SEAM_ERROR` there.
    """
    points, triangles = drop_unused(*cut_between(points, triangles, low, high, near=_ON_CUT))
    starts, ends = np.flatnonzero(points[:, 0] == low), np.flatnonzero(points[:, 0] == high)
    if not len(starts) or not len(ends):
        raise SolidError(f"{name}: it does not reach from seam to seam; move bend.seam")
    nearest, back = _nearest(points, starts, ends), _nearest(points, ends, starts)
    close = _apart(points, starts, ends[nearest]) < _slack(points, starts, face, _SAME, _SAME_BELOW)
    paired = (back[nearest] == np.arange(len(starts))) & close
    met = np.zeros(len(ends), dtype=bool)
    met[nearest[paired]] = True
    lone = ends[~met]
    gap = _widest(points, triangles, lone, low, face)
    if gap > 0.0:
        raise SolidError(
            f"{name}: the two sides of its seam lie {gap:.3f} mm apart; set bend.seam to the other choice, or simplify "
            "the artwork where the repeat ends"
        )
    points, triangles, added = _set_in(points, triangles, lone, low)
    starts, meets = np.concatenate((starts[paired], added)), np.concatenate((ends[nearest[paired]], lone))
    return _met_in_order(points, triangles, starts, meets, low=low, high=high, name=name)


def _met_in_order(
    points: Floats, triangles: Indices, starts: Indices, meets: Indices, *, low: float, high: float, name: str
) -> Ends:
    """Return the ends with those points of the start that meet none yet set into the edges of the other, in order."""
    partner = dict(zip(starts.tolist(), meets.tolist(), strict=True))
    ahead = {int(one): int(other) for one, other, _, _ in _open_edges(points, triangles, low)}
    place = {(int(one), int(other)): (int(who), int(k)) for one, other, who, k in _open_edges(points, triangles, high)}
    new_points: list[Floats] = []
    dropped, fans, further = [], [], []
    for first, met in partner.items():
        run: list[int] = []
        here = ahead.get(first)
        while here is not None and here not in partner and len(run) <= len(ahead):
            run.append(here)
            here = ahead.get(here)
        if here is None:
            raise SolidError(f"{name}: its repeat is not open all round where it ends; move bend.seam")
        if not run:
            continue
        # What runs one way round at one end runs the other way round at the other.
        edge = (partner[here], met)
        if edge not in place:
            raise SolidError(f"{name}: the two sides of its seam do not follow each other; move bend.seam")
        who, side = place[edge]
        names = [len(points) + len(new_points) + at for at in range(len(run))]
        new_points += [np.array([high, *points[each, 1:]]) for each in run]
        further += list(zip(run, names, strict=True))
        across = int(triangles[who, (side + 2) % 3])
        fans += [(one, other, across) for one, other in pairwise([edge[0], *names[::-1], edge[1]])]
        dropped.append(who)
    if new_points:
        kept = np.ones(len(triangles), dtype=bool)
        kept[dropped] = False
        points = np.concatenate((points, new_points))
        triangles = np.concatenate((triangles[kept], np.array(fans, dtype=np.int64)))
        starts = np.concatenate((starts, [one for one, _ in further]))
        meets = np.concatenate((meets, [other for _, other in further]))
    return Ends(points, triangles, starts, meets)


def _open_edges(points: Floats, triangles: Indices, at: float) -> Indices:
    """Return (k, 4) of the edges in the plane x = ``at``: from, to, their triangle, and where in it they begin."""
    level = points[:, 0] == at
    corners = np.stack((triangles, triangles[:, (1, 2, 0)]), axis=2)
    owner, side = np.nonzero(level[corners].all(axis=2))
    return np.column_stack((corners[owner, side], owner, side))


def _widest(points: Floats, triangles: Indices, lone: Indices, at: float, face: float) -> float:
    """Return how far the farthest of points lies off the edges at x = ``at``, mm; 0 where all are near enough."""
    if not len(lone):
        return 0.0
    edges = _open_edges(points, triangles, at)
    _, _, gap = _on_edges(points[lone, 1:], points[edges[:, 0], 1:], points[edges[:, 1], 1:])
    over = gap > _slack(points, lone, face, SEAM_ERROR, FLANK_ERROR)
    return float(gap[over].max(initial=0.0))


def _slack(points: Floats, at: Indices, face: float, on_face: float, below: float) -> Floats:
    """Return how far each point may lie off what it meets, mm."""
    return np.where(points[at, 2] > face - 1e-3, on_face, below)


def _apart(points: Floats, one: Indices, other: Indices) -> Floats:
    gaps = points[one, 1:] - points[other, 1:]
    return np.hypot(gaps[:, 0], gaps[:, 1])


def _nearest(points: Floats, of: Indices, among: Indices) -> Indices:
    """Return for each point the place of the nearest one on the other side."""
    found = np.empty(len(of), dtype=np.int64)
    for first in range(0, len(of), 256):
        gaps = points[of[first : first + 256], None, 1:] - points[None, among, 1:]
        found[first : first + 256] = (gaps**2).sum(axis=2).argmin(axis=1)
    return found


def _set_in(points: Floats, triangles: Indices, lone: Indices, at: float) -> tuple[Floats, Indices, Indices]:
    """Return the mesh with the points ``lone`` of the other end set into the edges of the end at x = ``at``.

    The numbers of the new points come last, (k,).
    """
    if not len(lone):
        return points, triangles, lone
    edges = _open_edges(points, triangles, at)
    edge, share, _ = _on_edges(points[lone, 1:], points[edges[:, 0], 1:], points[edges[:, 1], 1:])
    names = len(points) + np.arange(len(lone))
    added = np.column_stack((np.full(len(lone), at), points[lone, 1:]))
    fans: list[tuple[int, int, int]] = []
    for each in np.unique(edge):
        start, end, owner, side = edges[each]
        inner = np.flatnonzero(edge == each)
        across = int(triangles[owner, (side + 2) % 3])
        way = [int(start), *names[inner[np.argsort(share[inner])]].tolist(), int(end)]
        fans += [(one, other, across) for one, other in pairwise(way)]
    kept = np.ones(len(triangles), dtype=bool)
    kept[edges[np.unique(edge), 2]] = False
    return np.concatenate((points, added)), np.concatenate((triangles[kept], np.array(fans, dtype=np.int64))), names


def _on_edges(spots: Floats, starts: Floats, ends: Floats) -> tuple[Indices, Floats, Floats]:
    """Return for each spot the nearest edge, how far along it that is, 0 to 1, and how far away, mm."""
    run = ends - starts
    length = np.maximum((run**2).sum(axis=1), 1e-18)
    edge = np.empty(len(spots), dtype=np.int64)
    share, gap = np.empty(len(spots)), np.empty(len(spots))
    for at, spot in enumerate(spots):
        along = np.clip(((spot - starts) * run).sum(axis=1) / length, 0.0, 1.0)
        away = np.hypot(*(starts + along[:, None] * run - spot).T)
        # Next to a corner two edges are as near; the one that the spot lies within takes it.
        best = int((away + 1e-6 * ((along <= 0.0) | (along >= 1.0))).argmin())
        edge[at], share[at], gap[at] = best, along[best], away[best]
    return edge, share, gap
