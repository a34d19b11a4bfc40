"""Curves as drawn elsewhere, Bézier, rational B-spline or straight, as outlines."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ...errors import ArtworkError
from ..outlines.curves import CURVE, LINE, MOVE, Outline, Points

FINEST = 512
"""Pieces to a span of a B-spline at most."""


def bezier_curve(points: Points, before: Points, after: Points, *, closed: bool) -> Outline:
    """Return the outline through ``points`` with a control point before and after each, (n, 2) float arrays all."""
    following = np.roll(np.arange(len(points)), -1) if closed else np.arange(1, len(points))
    starting = np.arange(len(following))
    steps = np.stack((points[starting], after[starting], before[following], points[following]), axis=1)
    return _outline(points[0], steps, CURVE, closed)


def polyline(points: Points, *, closed: bool) -> Outline:
    """Return the outline with straight lines from each of ``points``, (n, 2) float, to the next."""
    ends = np.roll(points, -1, axis=0) if closed else points[1:]
    starts = points[: len(ends)]
    return _outline(points[0], np.stack((starts, starts, ends, ends), axis=1), LINE, closed)


def rational_curve(
    points: Points,
    weights: NDArray[np.float64],
    *,
    order: int,
    closed: bool,
    clamped: bool,
    pieced: bool = False,
    tolerance: float,
) -> Outline:
    """Return a B-spline, flattened within ``tolerance``, its points (n, 2) float.

    For the rest see :func:`rational_course`. Raises :class:`ArtworkError` as that does.
    """
    course = rational_course(
        points, weights, order=order, closed=closed, clamped=clamped, pieced=pieced, tolerance=tolerance
    )
    return polyline(course, closed=closed)


def rational_course(
    points: Points,
    weights: NDArray[np.float64],
    *,
    order: int,
    closed: bool,
    clamped: bool,
    pieced: bool = False,
    tolerance: float,
) -> Points:
    """Return points of a B-spline so close that its chords stray by ``tolerance`` at most.

    ``points``: (n, k) float, places in the first two columns and whatever else is to follow the curve in the others;
    ``weights``: (n,) float over 0; ``order``: degree + 1; ``clamped``: the curve begins at its first point, and where
    it is open ends at its last; ``pieced``: it is made of Bezier pieces of that degree, of which each begins where one
    ends, else its knots are uniform. Points that make no whole pieces are joined by straight lines, as Blender does.
    Raises :class:`ArtworkError` when there are fewer points than the order. Source: de Boor 1972, the recurrence for
    B-splines; knots as in Piegl and Tiller 1997, chapter 2.
    """
    if len(points) < order:
        raise ArtworkError(f"a curve of order {order} needs {order} points or more, and has {len(points)}")
    if pieced and ((closed and len(points) % (order - 1)) or (not clamped and len(points) <= order)):
        return points
    if closed:
        points, weights = np.vstack((points, points[: order - 1])), np.append(weights, weights[: order - 1])
    count = len(points)
    knots = _knots(count + order, order, closed=closed, clamped=clamped, pieced=pieced)
    low, high = knots[order - 1], knots[count]
    pieces = 4
    course = _evaluated(points, weights, knots, order, np.linspace(low, high, int(high - low) * pieces + 1))
    while pieces < FINEST:
        pieces *= 2
        finer = _evaluated(points, weights, knots, order, np.linspace(low, high, int(high - low) * pieces + 1))
        strayed = finer[1::2] - (course[:-1] + course[1:]) / 2
        course = finer
        # Halving a step divides how far its chord strays by four.
        if np.hypot(strayed[:, 0], strayed[:, 1]).max() < 4 * tolerance:
            break
    return course[:-1] if closed else course


def joined(outlines: Sequence[Outline]) -> Outline:
    """Return one outline with the subpaths of all."""
    return Outline(
        np.concatenate([outline.corners for outline in outlines]),
        np.concatenate([outline.kinds for outline in outlines]),
        np.concatenate([outline.closed for outline in outlines]),
    )


def _outline(first: Points, steps: Points, kind: int, closed: bool) -> Outline:
    corners = np.concatenate((np.broadcast_to(first, (1, 4, 2)), steps))
    kinds = np.full(len(corners), kind, dtype=np.int8)
    kinds[0] = MOVE
    return Outline(corners, kinds, np.array([closed]))


def _knots(total: int, order: int, *, closed: bool, clamped: bool, pieced: bool) -> NDArray[np.float64]:
    """Return the knots of a B-spline, as Blender sets them; its points are repeated at its end where it is closed."""
    unclamped = min(2, order - 1) if pieced else 1
    left = order - closed if clamped else unclamped
    following = 2 * order - 1 if closed else order if clamped else 0
    knots = np.zeros(total)
    skipped, number = (1, 1.0) if closed and clamped else (0, 0.0)
    for at in range(skipped, total - following):
        knots[at] = number
        left -= 1
        if left == 0:
            number, left = number + 1.0, order - 1 if pieced else 1
    for at in range(following):
        # The widths of the first spans once more.
        knots[total - following + at] = number + knots[at] - knots[0]
    return knots


def _evaluated(
    points: Points, weights: NDArray[np.float64], knots: NDArray[np.float64], order: int, at: NDArray[np.float64]
) -> Points:
    """Return the curve's points at the parameters ``at``, by the recurrence on all of them at once."""
    # The last parameter belongs to the last span that has a length.
    last = int(np.flatnonzero(np.diff(knots[: len(points) + 1]) > 0)[-1])
    span = np.clip(np.searchsorted(knots, at, side="right") - 1, order - 1, last)
    reach = span[:, None] + np.arange(1 - order, 1)
    lifted = np.column_stack((points * weights[:, None], weights))[reach]
    for level in range(1, order):
        upper = reach[:, level:]
        lower_knot, upper_knot = knots[upper], knots[upper + order - level]
        lies = np.zeros_like(lower_knot)
        np.divide(at[:, None] - lower_knot, upper_knot - lower_knot, out=lies, where=upper_knot > lower_knot)
        share = lies[:, :, None]
        lifted = (1 - share) * lifted[:, :-1] + share * lifted[:, 1:]
    course: Points = lifted[:, 0, :-1] / lifted[:, 0, -1:]
    return course
