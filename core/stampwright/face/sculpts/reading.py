"""Reading a sculpt back: a height map of what brushes left, seen from above, and what of it had to be settled."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...errors import SolidError
from ...findings import Finding
from ...plane.frames import die_to_paper
from ...solids.above import seen_from_above
from ...solids.relief import FACE, UPRIGHT
from ..dense import DenseDie
from ..face_map import FaceHeights, FaceMap, Points, untouched
from .settling import Sculpted, settle

STILL = 3e-5
"""A vertex that moved less than this, mm, did not move: 32-bit floats in another unit cost it as much."""

_ROUNDS = 12
_LEAST_PULL = 0.02
"""Shares, squared and added up, under which a sample is not drawn at: it would be thrown far off for a hair."""

_Mask = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Sculpt:
    """What was sculpted.

    ``map``: the sculpt without the grain that the face bore, settled: what undercut, folded over, rose above the face
    or sank too deep is as it prints and leaves the paper. ``settled``: where that changed something, mm, paper frame.
    ``findings``: what was changed, by kind, with place and area.
    """

    map: FaceMap
    settled: MultiPolygon
    findings: tuple[Finding, ...]


def read_sculpt(dense: DenseDie, vertices: NDArray[np.float64]) -> Sculpt:
    """Return what was sculpted on a dense die.

    ``vertices``: (n, 3) mm, die frame, in the order of ``dense.solid.vertices``, as brushes left them, x and y moved
    too. Where the face, seen from above, is as it was, the map stays as it was, to the bit; what ``dense.sculpt`` holds
    outside of the face stays too. Raises :class:`SolidError` when the count of vertices is another.
    """
    if vertices.shape != dense.solid.vertices.shape:
        raise SolidError(
            f"the sculpted die has {len(vertices)} points, not {len(dense.solid.vertices)}: it was remeshed or cut; "
            "sculpt it without changing its mesh"
        )
    view = _view_of(dense, vertices)
    if not _moved(view.before, view.after).any():
        return Sculpt(view.held, MultiPolygon(), ())
    stretched = _stretched(view)
    was = _height_seen(view, view.before, view.triangles[view.squares :])
    seen = _height_seen(view, view.after, stretched)
    inked = was > -np.inf
    step = np.full_like(was, np.inf)
    np.subtract(seen, was, out=step, where=inked)
    changed = inked & ~(np.abs(step) <= STILL)
    seen[~inked] = -np.inf
    settled = settle(
        Sculpted(
            held=view.held,
            seen=_without_gaps(seen, inked),
            changed=changed,
            after=view.after,
            triangles=stretched,
            edge_moves=np.where(view.on_edge, np.hypot(*(view.after - view.before)[:, :2].T), 0.0),
            depth=dense.depth,
            floor=dense.top - dense.floor,
        )
    )
    total, drawn = _drawn_to_edge(view, np.where(changed, settled.heights, was), changed, dense.depth)
    taken = changed | drawn
    heights = view.held.heights.copy()
    heights[taken] = total[taken]
    if dense.grain is not None:
        heights[taken] -= dense.grain.at(view.held.samples[taken.reshape(-1)])
    return Sculpt(replace(view.held, heights=heights), settled.region, settled.findings)


@dataclass(frozen=True, eq=False)
class _View:
    """A dense face before and after sculpting, and the map whose samples it is looked at.

    ``before``, ``after``: (k, 3) mm, x and y in the paper frame, heights over the untouched face. ``triangles``: (m, 3)
    numbers of them, counter-clockwise in the paper frame, the first ``squares`` halves of squares; those are known by
    their corners alone where ``aligned``: the map's samples are the squares' corners. ``on_edge``: (k,) bool.
    """

    held: FaceMap
    before: Points
    after: Points
    triangles: NDArray[np.int64]
    squares: int
    aligned: bool
    on_edge: _Mask


def _view_of(dense: DenseDie, vertices: NDArray[np.float64]) -> _View:
    before, after = (die_to_paper(at[dense.movable]) for at in (dense.solid.vertices, vertices))
    for at in (before, after):
        at[:, 2] -= float(np.float32(dense.top))
    lost = ~np.isfinite(after[:, 0] + after[:, 1] + after[:, 2])
    # A vertex that a brush has sent nowhere stays where it was.
    after[lost] = before[lost]
    held, aligned = _map_to_change(dense, before)
    number = np.cumsum(dense.movable) - 1
    upright = np.zeros(len(dense.movable), dtype=bool)
    upright[dense.solid.triangles[dense.sets == UPRIGHT]] = True
    face = dense.solid.triangles[dense.sets == FACE]
    return _View(
        held=held,
        before=before,
        after=after,
        # The paper frame shows the die from below: what ran counter-clockwise runs clockwise.
        triangles=number[face[:, ::-1]],
        squares=dense.squares,
        aligned=aligned,
        on_edge=upright[dense.movable],
    )


def _map_to_change(dense: DenseDie, before: Points) -> tuple[FaceMap, bool]:
    """Return the sculpt so far on samples all over the face, and whether these lie on the face's own points.

    A sculpt in samples finer than the face keeps them, so that what is not touched loses nothing.
    """
    room = 2 * dense.spacing
    # Axis by axis, which is many times quicker than both at once.
    (left, right), (bottom, top) = ((float(at.min()) - room, float(at.max()) + room) for at in before[:, :2].T)
    bounds = (left, bottom, right, top)
    own, held = untouched(bounds, dense.spacing), dense.sculpt
    if held is None:
        return own, True
    shift = (np.array(held.corner) - own.corner) / dense.spacing
    if held.spacing == dense.spacing and np.abs(shift - np.rint(shift)).max() < 1e-6:
        return held.covering(bounds), True
    if held.spacing < dense.spacing:
        return held.covering(bounds), False
    whole = own.covering(held.bounds)
    return replace(whole, heights=held.at(whole.samples).reshape(whole.heights.shape)), True


def _moved(before: Points, after: Points) -> _Mask:
    """Return which points, (k, 2) or (k, 3) mm, have moved along any axis."""
    moved = np.abs(after[:, 0] - before[:, 0]) > STILL
    for axis in range(1, before.shape[1]):
        moved |= np.abs(after[:, axis] - before[:, axis]) > STILL
    return moved


def _stretched(view: _View) -> NDArray[np.int64]:
    """Return the triangles of the sculpted face that do not lie on paper as halves of squares."""
    squares, strip = view.triangles[: view.squares], view.triangles[view.squares :]
    moved = _moved(view.before[:, :2], view.after[:, :2])
    if moved.any():
        stretched = moved[squares[:, 0]] | moved[squares[:, 1]] | moved[squares[:, 2]]
        strip = np.concatenate((squares[stretched], strip))
    return strip


def _height_seen(view: _View, face: Points, stretched: NDArray[np.int64]) -> FaceHeights:
    """Return the height of a face, (k, 3), over every sample, (rows, columns) mm; -inf where there is none.

    ``stretched``: the triangles other than halves of squares.
    """
    places, shape = view.held.steps(face[:, :2]), view.held.heights.shape
    if not view.aligned:
        return seen_from_above(places, face[:, 2], view.triangles, shape)
    top = seen_from_above(places, face[:, 2], stretched, shape)
    # Squares that have not moved have their corners on samples: what is seen there is the corner's own height.
    known = np.flatnonzero(~(_moved(view.before[:, :2], face[:, :2]) | view.on_edge))
    column, row = np.rint(places[known]).astype(np.intp).T
    top[row, column] = np.maximum(top[row, column], face[known, 2].astype(np.float32))
    return top


def _without_gaps(total: FaceHeights, inked: _Mask) -> FaceHeights:
    """Fill samples inside the ink that the face no longer covers, ring by ring, with the mean of those around them."""
    columns = total.shape[1]
    around = np.array([-columns - 1, -columns, -columns + 1, -1, 1, columns - 1, columns, columns + 1])
    filled = total.reshape(-1).copy()
    gaps = np.flatnonzero(inked.reshape(-1) & np.isneginf(filled))
    while len(gaps):
        near = filled[gaps[:, None] + around]
        known = near > -np.inf
        count = known.sum(axis=1)
        ready = count > 0
        if not ready.any():
            filled[gaps] = 0.0
            break
        filled[gaps[ready]] = np.where(known, near, 0.0).sum(axis=1)[ready] / count[ready]
        gaps = gaps[~ready]
    return filled.reshape(total.shape)


def _drawn_to_edge(view: _View, total: FaceHeights, changed: _Mask, depth: float) -> tuple[FaceHeights, _Mask]:
    """Set samples beside the ink so that the map has the sculpted heights along the face's edge.

    Returns the heights and which samples were set. Each round hands what is missing at a vertex of the edge to the
    samples round it outside of the ink, by their share in it (Kaczmarz 1937, all vertices at once).
    """
    inked = (total > -np.inf).reshape(-1)
    before, after = view.before[view.on_edge], view.after[view.on_edge]
    corners, shares = view.held.shares(before[:, :2])
    near = changed.reshape(-1)[corners].any(axis=0) | _moved(before, after)
    corners, shares, wanted = corners[:, near], shares[:, near], np.clip(after[near, 2], -depth, 0.0)
    drawn = np.zeros(inked.shape, dtype=bool)
    drawn[corners] = True
    drawn &= ~inked
    heights = total.reshape(-1).astype(np.float64)
    # A first guess: the mean of the vertices round each sample.
    weight = np.bincount(corners.reshape(-1), shares.reshape(-1), len(heights))
    guess = np.bincount(corners.reshape(-1), (shares * wanted).reshape(-1), len(heights))
    heights[drawn] = guess[drawn] / np.maximum(weight[drawn], 1e-9)
    pull = np.where(drawn[corners], shares, 0.0)
    whole = (pull**2).sum(axis=0)
    pull = np.where(whole > _LEAST_PULL, pull / np.maximum(whole, _LEAST_PULL), 0.0)
    users = np.maximum(np.bincount(corners.reshape(-1), (pull > 0).reshape(-1), len(heights)), 1.0)
    for _ in range(_ROUNDS if drawn.any() else 0):
        missing = wanted - (heights[corners] * shares).sum(axis=0)
        heights += np.bincount(corners.reshape(-1), (pull * missing).reshape(-1), len(heights)) / users
    heights[drawn] = np.clip(heights[drawn], -2 * depth, depth)
    return heights.astype(np.float32).reshape(total.shape), drawn.reshape(total.shape)
