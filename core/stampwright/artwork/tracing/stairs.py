"""Stairs: outlines that follow whole pixels, smoothed by no more than what pixels leave open of the true edge.

A pixel that is ink or paper and nothing between tells only on which side of the edge its middle lies. Between the
middles of two pixels that differ, an edge may run anywhere: half a pixel either way from where it was traced. Round
each point the longest stretch is sought that one parabola follows so nearly, on both sides of the point or on one; at a
corner that is one side of it, so that corners stay.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .contours import Points, Rings
from .thresholds import Greys, Levels

SOFT = 0.1
"""Share of the edge's pixels that are neither ink nor paper, below which edges follow whole pixels."""

_HALF = 0.5
"""Pixels by which an edge may lie off, across the line between the middles of two pixels."""

_SLACK = 0.3
"""Pixels more that a parabola may stray: it is the best one on the mean, and not the one that fits all (measured)."""

_REACHES = (2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 32)
"""Points on a side that are looked at; half a period of the flattest slope that stairs are taken out of."""

_MOST_TURN = 1.5
"""Radians by which a parabola may turn along a stretch; an arc of more is none."""

_ONE_SIDED = 1.5
"""How many times longer a stretch on one side must be than one on both: at its end a parabola is less sure."""

_SQUARE = 3
"""Pixels on each side of a corner between straight runs of them; where a slanted edge steps, one run is of one pixel,
or both are of two."""

_MOST_POINTS = 400_000
"""Outlines of more points are of a picture so fine that its stairs are not seen in print."""


def follows_pixels(grey: Greys, levels: Levels) -> bool:
    """Say whether ink and paper meet without soft pixels between; ``grey``: (rows, columns), 0 black to 1 white."""
    share = (grey - np.float32(levels.ink)) / np.float32(max(levels.contrast, 1e-6))
    soft, inked = np.abs(share - 0.5) < 0.4, share < 0.5
    edge = np.zeros(grey.shape, dtype=np.bool_)
    for one, other in ((np.s_[1:], np.s_[:-1]), (np.s_[:, 1:], np.s_[:, :-1])):
        meets = inked[one] != inked[other]
        edge[one] |= meets
        edge[other] |= meets
    count = np.count_nonzero(edge)
    return bool(count and np.count_nonzero(edge & soft) < SOFT * count)


def without_stairs(rings: Rings) -> Rings:
    """Return rings traced between whole pixels as smooth as the pixels allow; ``rings``: as ``trace_contours`` gives.

    Each point stays within what its pixels leave open; corners, and what is too small to tell, stay as they are.
    """
    if not len(rings.counts) or len(rings.points) > _MOST_POINTS:
        return rings
    square = _square_corners(rings)
    room = [_room(rings, square, way) for way in (-1, 1)]
    points, longest = rings.points.copy(), np.zeros(len(rings.points), dtype=np.intp)
    for before, after in ((1, 1), (1, 0), (0, 1)):
        alive = np.arange(len(rings.points))
        for reach in _REACHES:
            alive = alive[(room[0][alive] >= before * reach) & (room[1][alive] >= after * reach)]
            if not len(alive):
                break
            span = (-before * reach, after * reach)
            fitted, fits, turns = _fitted(rings, alive, span)
            alive, fitted, turns = alive[fits], fitted[fits], turns[fits]
            length = span[1] - span[0]
            better = longest[alive] * (1.0 if before and after else _ONE_SIDED) < length
            better &= turns < _MOST_TURN
            points[alive[better]], longest[alive[better]] = fitted[better], length
    return _with_corners(Rings(points, rings.starts, rings.holes), rings, square)


def _square_corners(rings: Rings) -> NDArray[np.bool_]:
    """Return after which points rings turn at a square corner: between straight runs of pixels both ways."""
    ahead = rings.points[rings.neighbours(1)] - rings.points
    turning = np.abs(ahead).min(axis=1) > 0.25
    around = np.repeat(rings.counts, rings.counts)
    long = np.ones(len(turning), dtype=np.bool_)
    for step in range(1, _SQUARE):
        long &= ~turning[rings.neighbours(step)] & ~turning[rings.neighbours(-step)]
    square: NDArray[np.bool_] = turning & long & (around >= 4 * _SQUARE)
    return square


def _room(rings: Rings, square: NDArray[np.bool_], way: int) -> NDArray[np.intp]:
    """Return how many points on a stretch may reach from each point: to the next square corner, or a quarter round."""
    room = np.minimum(np.repeat(rings.counts, rings.counts) // 4, _REACHES[-1])
    stopped = np.zeros(len(room), dtype=np.bool_)
    for step in range(_REACHES[-1]):
        stopped |= square[rings.neighbours(step if way > 0 else -step - 1)]
        room = np.where(stopped, np.minimum(room, step), room)
    return room


def _with_corners(smoothed: Rings, rings: Rings, square: NDArray[np.bool_]) -> Rings:
    """Return smoothed rings with the square corners of what they were made of."""
    at = np.flatnonzero(square)
    here, there = rings.points[at], rings.points[rings.neighbours(1)[at]]
    # Points on upright sides have a whole x.
    upright = np.abs(here[:, 0] - np.round(here[:, 0])) < 0.25
    corners = np.where(
        upright[:, None], np.stack([here[:, 0], there[:, 1]], axis=1), np.stack([there[:, 0], here[:, 1]], axis=1)
    )
    added = np.bincount(rings.owners[at], minlength=len(rings.counts))
    starts = rings.starts + np.concatenate([[0], np.cumsum(added)])
    return Rings(np.insert(smoothed.points, at + 1, corners, axis=0), starts, rings.holes)


def _fitted(
    rings: Rings, at: NDArray[np.intp], span: tuple[int, int]
) -> tuple[Points, NDArray[np.bool_], NDArray[np.float64]]:
    """Return where parabolas through stretches about points pass these, (n, 2), whether pixels allow it, and its turn.

    The turn is from end to end, radians, (n,).

    ``at``: (n,) indices of points; ``span``: the stretch of each, from and to which point on, counted from it.
    """
    steps = np.arange(span[0], span[1] + 1)
    terms = np.stack([np.ones(len(steps)), steps, steps**2], axis=1).astype(np.float64)
    weights = np.linalg.pinv(terms)
    first = rings.starts[:-1][rings.owners[at]]
    around = rings.counts[rings.owners[at]]
    indices = [first + (at - first + step) % around for step in steps]
    shape = np.zeros((3, len(at), 2))
    for place, index in enumerate(indices):
        shape += weights[:, place, None, None] * rings.points[index][None]
    ends = [shape[1] + 2 * step * shape[2] for step in span]
    cross = ends[0][:, 0] * ends[1][:, 1] - ends[0][:, 1] * ends[1][:, 0]
    turns = np.abs(np.arctan2(cross, (ends[0] * ends[1]).sum(axis=1)))
    fits = np.ones(len(at), dtype=np.bool_)
    for step, index in zip(steps, indices, strict=True):
        here = rings.points[index]
        slope = shape[1] + 2 * step * shape[2]
        normal = np.stack([-slope[:, 1], slope[:, 0]], axis=1) / np.maximum(np.hypot(*slope.T), 1e-9)[:, None]
        off = np.abs(((shape[0] + step * shape[1] + step**2 * shape[2] - here) * normal).sum(axis=1))
        # Points lie in the middle between two pixels, on a line of whole x or of whole y.
        across = np.abs(here[:, 0] - np.round(here[:, 0])) < 0.25
        fits &= off <= _HALF * np.abs(np.where(across, normal[:, 0], normal[:, 1])) + _SLACK
    return shape[0], fits, turns
