"""Curves: traced rings as smooth curves with their corners kept, many at a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .contours import Offsets, Points, Rings

_ARM = 5
"""Points on either side of a corner that its turn is judged by; points are a pixel apart."""

_NEAR = 2
"""A corner turns within this many points; a small round dot turns as much over a whole arm, but not so near."""

_CORNER = np.radians(35.0)
"""Least turn of a corner."""

_SHARE_NEAR = 0.62
"""Least share of a corner's turn that lies near it; a round outline has _NEAR / _ARM = 0.4, a sharp one 1."""

_REACH = 2.0
"""Pixels that a corner may be put back by, from where blur has rounded it off."""

_LONGEST_PIECE = 48
"""Points that one curve starts with; cutting longer runs beforehand saves rounds."""

_BEND_ARM = 3
"""Points on either side that a tangent is taken over."""


@dataclass(frozen=True, eq=False)
class _Pieces:
    """Rings cut into pieces: each runs from point ``first`` to point ``last`` of ``points``, both included.

    ``points``: (n, 2), the rings unrolled, each beginning at a cut and with its first point repeated at its end.
    ``leaving``, ``arriving``: (n, 2) unit tangents after and before each point; they differ at corners.
    ``rings``: which ring each piece belongs to.
    """

    points: Points
    leaving: Points
    arriving: Points
    first: Offsets
    last: Offsets
    rings: Offsets


def fit_curves(rings: Rings, tolerance: float) -> Rings:
    """Return rings as flattened cubic curves; both steps together stray from ``rings`` by ``tolerance`` pixels at most.

    ``rings``: points about a pixel apart. Corners are found by their turn, put back to where their flanks meet, and
    kept; between them curves join smoothly. Curves are fitted by least squares with given end tangents, chord-length
    parameters and one step of reparametrisation, and cut where they stray most (Schneider 1990); all pieces of all
    rings are fitted in the same array operations. Flattening takes a quarter of the tolerance.
    """
    if not len(rings.counts):
        return rings
    pieces = _cut_at_corners(rings)
    curves, places, owners = _fit_all(pieces, 0.75 * tolerance)
    order = np.argsort(places, kind="stable")
    return _flattened(curves[order], owners[order], rings.holes, 0.25 * tolerance)


def find_corners(rings: Rings) -> NDArray[np.bool_]:
    """Return for each point whether it is a corner."""
    turn_far, turn_near = _turn(rings, _ARM), _turn(rings, _NEAR)
    corner = (turn_far > _CORNER) & (turn_near > _SHARE_NEAR * turn_far)
    sharpness = turn_near + 0.25 * turn_far
    for step in (1, 2):
        corner &= sharpness > sharpness[rings.neighbours(step)]
        corner &= sharpness >= sharpness[rings.neighbours(-step)]
    found: NDArray[np.bool_] = corner & (np.repeat(rings.counts, rings.counts) > 2 * _ARM)
    return found


def _turn(rings: Rings, step: int) -> Points:
    """Return the turn between the chords to the points ``step`` before and after each point, radians, 0 to pi."""
    before = rings.points - rings.points[rings.neighbours(-step)]
    after = rings.points[rings.neighbours(step)] - rings.points
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turn: Points = np.abs(np.arctan2(cross, np.einsum("ij,ij->i", before, after)))
    return turn


def _restored(rings: Rings, sharp: NDArray[np.bool_]) -> Points:
    """Return the corners where the lines along their flanks meet, or where they are if that is too far off."""
    points, corners = rings.points, np.flatnonzero(sharp)
    near, far = [], []
    for sign in (-1, 1):
        # A flank ends before the next corner.
        reach = np.full(len(points), _ARM)
        for step in range(_ARM, _NEAR, -1):
            reach[sharp[rings.neighbours(sign * step)]] = step - 1
        near.append(rings.neighbours(sign * _NEAR)[corners])
        far.append(rings.neighbours(sign * reach)[corners])
    along = [points[near[side]] - points[far[side]] for side in (0, 1)]
    between = points[near[1]] - points[near[0]]
    cross = along[0][:, 0] * along[1][:, 1] - along[0][:, 1] * along[1][:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        share = (between[:, 0] * along[1][:, 1] - between[:, 1] * along[1][:, 0]) / cross
        met = points[near[0]] + along[0] * share[:, None]
        good = np.hypot(*(met - points[corners]).T) <= _REACH
    return np.where(good[:, None], met, points[corners])


def _cut_at_corners(rings: Rings) -> _Pieces:
    sharp = find_corners(rings)
    points = rings.points.copy()
    at = np.flatnonzero(sharp)
    points[at] = _restored(rings, sharp)
    # What blur has rounded off beside a corner would only pull the curves away from it.
    rounded = np.zeros(len(points), dtype=bool)
    for step in (-1, 1):
        beside = rings.neighbours(step)[at]
        rounded[beside] = np.hypot(*(points[beside] - points[at]).T) < _NEAR
    kept = sharp | ~rounded
    counts = np.bincount(rings.owners[kept], minlength=len(rings.counts))
    points, sharp = points[kept], sharp[kept]
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.intp)
    slim = Rings(points, starts, rings.holes)
    return _unrolled(slim, sharp)


def _unrolled(rings: Rings, sharp: NDArray[np.bool_]) -> _Pieces:
    """Turn each ring so that it begins at a corner, repeat its first point, and cut it into pieces."""
    begin = rings.starts[:-1].copy()
    at = np.flatnonzero(sharp)[::-1]
    begin[rings.owners[at]] = at
    counts = rings.counts + 1
    ends = np.cumsum(counts)
    local = np.arange(ends[-1]) - np.repeat(ends - counts, counts)
    first = np.repeat(rings.starts[:-1], counts)
    index = first + (local + np.repeat(begin - rings.starts[:-1], counts)) % np.repeat(rings.counts, counts)
    leaving, arriving = _tangents(rings, sharp)
    sharp = sharp[index]
    owner = np.repeat(np.arange(len(counts)), counts)
    edge = (local == 0) | (local == np.repeat(counts - 1, counts))
    # Long runs are cut evenly, counted from the last corner.
    marks = np.flatnonzero(sharp | edge)
    run = marks[np.searchsorted(marks, np.arange(len(index)), side="right") - 1]
    following = marks[np.minimum(np.searchsorted(marks, np.arange(len(index)), side="right"), len(marks) - 1)]
    length = np.maximum(following - run, 1)
    # A ring without corners is cut in four at least, so that no curve closes on itself.
    parts = np.maximum(-(-length // _LONGEST_PIECE), np.where(length == np.repeat(rings.counts, counts), 4, 1))
    parts = np.minimum(parts, length)
    here = np.arange(len(index)) - run
    cut = sharp | edge | ((here * parts) // length != ((here - 1) * parts) // length)
    cuts = np.flatnonzero(cut)
    inside = owner[cuts[:-1]] == owner[cuts[1:]]
    return _Pieces(
        rings.points[index],
        leaving[index],
        arriving[index],
        cuts[:-1][inside],
        cuts[1:][inside],
        owner[cuts[:-1]][inside],
    )


def _tangents(rings: Rings, sharp: NDArray[np.bool_]) -> tuple[Points, Points]:
    """Return unit tangents after and before each point: central differences, one-sided ones at corners."""
    points = rings.points
    reach = np.full(len(points), _BEND_ARM)
    for step in range(_BEND_ARM, 0, -1):
        reach[sharp[rings.neighbours(step)] | sharp[rings.neighbours(-step)]] = step
    both = points[rings.neighbours(reach)] - points[rings.neighbours(-reach)]
    sides = []
    for sign in (1, -1):
        # To second order, over the first 4, 2 or 1 points, as far as there is no further corner.
        reach = np.full(len(points), 4)
        for step in (3, 2, 1):
            reach[sharp[rings.neighbours(sign * step)]] = max(step // 2 * 2, 1)
        half, whole = (points[rings.neighbours(sign * at)] - points for at in (np.maximum(reach // 2, 1), reach))
        onward = sign * np.where((reach > 1)[:, None], 4 * half - whole, whole)
        tangent = np.where(sharp[:, None], onward, both)
        sides.append(tangent / np.maximum(np.hypot(*tangent.T), 1e-12)[:, None])
    return sides[0], sides[1]


def _fit_all(pieces: _Pieces, tolerance: float) -> tuple[Points, Offsets, Offsets]:
    """Return curves (k, 4, 2), the point that each begins at, and the ring that it belongs to; in no order."""
    first, last, rings = pieces.first, pieces.last, pieces.rings
    travelled = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(pieces.points, axis=0).T))])
    curves, places, owners = [], [], []
    while len(first):
        fitted, stray, worst = _fit_pieces(pieces, travelled, first, last)
        good = (stray <= tolerance) | (last - first < 2)
        curves.append(fitted[good])
        places.append(first[good])
        owners.append(rings[good])
        poor, cut = ~good, worst[~good]
        first, last = np.concatenate([first[poor], cut]), np.concatenate([cut, last[poor]])
        rings = np.concatenate([rings[poor], rings[poor]])
    return np.concatenate(curves), np.concatenate(places), np.concatenate(owners)


def _fit_pieces(pieces: _Pieces, travelled: Points, first: Offsets, last: Offsets) -> tuple[Points, Points, Offsets]:
    """Fit one curve to each piece; return curves (k, 4, 2), how far points stray (k,), and the worst point (k,)."""
    counts = last - first + 1
    starts = np.cumsum(counts) - counts
    owner = np.repeat(np.arange(len(first)), counts)
    index = np.arange(len(owner)) - starts[owner] + first[owner]
    points = pieces.points[index]
    length = np.maximum(travelled[last] - travelled[first], 1e-12)
    t = (travelled[index] - travelled[first][owner]) / length[owner]
    fit = _LeastSquares(points, starts, owner, pieces.points[first], pieces.points[last])
    leave, arrive = pieces.leaving[first], -pieces.arriving[last]
    curves = fit.curves(t, leave, arrive, length)
    curves = fit.curves(_nearer(curves[owner], points, t), leave, arrive, length)
    t = _nearer(curves[owner], points, t)
    stray = np.hypot(*(_at(curves[owner], t) - points).T)
    # Ends are on the curve, and are no places to cut it.
    stray[starts] = stray[starts + counts - 1] = 0.0
    most = np.maximum.reduceat(stray, starts)
    hits = np.flatnonzero(stray == most[owner])
    worst = np.empty(len(first), dtype=np.intp)
    worst[owner[hits]] = index[hits]
    middle = (first + last) // 2
    return curves, most, np.where((worst > first) & (worst < last), worst, middle)


class _LeastSquares:
    """The normal equations of Schneider's fit, for many pieces at once; what does not change is kept."""

    def __init__(self, points: Points, starts: Offsets, owner: Offsets, begin: Points, end: Points) -> None:
        self.points, self.starts, self.owner, self.begin, self.end = points, starts, owner, begin, end

    def curves(self, t: Points, leave: Points, arrive: Points, length: Points) -> Points:
        """Return curves (k, 4, 2) with the end tangents given, for parameters ``t`` (n,) of the points."""
        owner = self.owner
        b0, b1, b2, b3 = _bernstein(t)
        rest = self.points - (b0 + b1)[:, None] * self.begin[owner] - (b2 + b3)[:, None] * self.end[owner]
        turn = np.einsum("ij,ij->i", leave, arrive)
        c11, c12, c22 = (np.add.reduceat(part, self.starts) for part in (b1 * b1, b1 * b2, b2 * b2))
        c12 = c12 * turn
        x1 = np.add.reduceat(b1 * np.einsum("ij,ij->i", rest, leave[owner]), self.starts)
        x2 = np.add.reduceat(b2 * np.einsum("ij,ij->i", rest, arrive[owner]), self.starts)
        determinant = c11 * c22 - c12 * c12
        with np.errstate(divide="ignore", invalid="ignore"):
            first, second = (x1 * c22 - x2 * c12) / determinant, (c11 * x2 - c12 * x1) / determinant
        # Handles that run backwards or beyond the piece make loops; a third of the length is Schneider's way out.
        sound = (first > 1e-3 * length) & (second > 1e-3 * length) & (first < length) & (second < length)
        first, second = np.where(sound, first, length / 3), np.where(sound, second, length / 3)
        return np.stack(
            [self.begin, self.begin + leave * first[:, None], self.end + arrive * second[:, None], self.end], axis=1
        )


def _bernstein(t: Points) -> tuple[Points, Points, Points, Points]:
    s = 1 - t
    return s * s * s, 3 * t * s * s, 3 * t * t * s, t * t * t


def _at(curves: Points, t: Points) -> Points:
    place: Points = np.einsum("in,inj->ij", np.stack(_bernstein(t), axis=1), curves)
    return place


def _nearer(curves: Points, points: Points, t: Points) -> Points:
    """Return parameters one Newton step nearer to where each curve passes its point."""
    s = 1 - t
    step1 = np.diff(curves, axis=1)
    slope = 3 * np.einsum("in,inj->ij", np.stack([s * s, 2 * s * t, t * t], axis=1), step1)
    bend = 6 * np.einsum("in,inj->ij", np.stack([s, t], axis=1), np.diff(step1, axis=1))
    off = _at(curves, t) - points
    rise = np.einsum("ij,ij->i", slope, slope) + np.einsum("ij,ij->i", off, bend)
    move = np.einsum("ij,ij->i", off, slope) / np.where(np.abs(rise) < 1e-12, 1e-12, rise)
    return np.clip(np.where(np.abs(move) < 0.1, t - move, t), 0.0, 1.0)


def _flattened(curves: Points, owners: Offsets, holes: NDArray[np.bool_], tolerance: float) -> Rings:
    """Return the rings that curves in order make, as points so dense that chords stray by ``tolerance`` at most."""
    # n (n - 1) / 8 of the largest second difference bounds how far a cubic strays from its chords (Wang 1984).
    bend = np.hypot(*np.moveaxis(np.diff(curves, n=2, axis=1), 2, 0)).max(axis=1)
    steps = np.maximum(1, np.ceil(np.sqrt(0.75 * bend / tolerance))).astype(np.intp)
    curve = np.repeat(np.arange(len(curves)), steps)
    t = (np.arange(len(curve)) - np.repeat(np.cumsum(steps) - steps, steps)) / steps[curve]
    counts = np.bincount(owners[curve], minlength=len(holes))
    return Rings(_at(curves[curve], t), np.concatenate([[0], np.cumsum(counts)]).astype(np.intp), holes)
