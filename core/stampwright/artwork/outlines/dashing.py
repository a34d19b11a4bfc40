"""Dashes: a line cut into the pieces that are drawn (SVG 2, section 13.5.6)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from .curves import Points, Polylines

SHORTEST = 1e-6
"""Share of the line's length that a dash of no length gets, so that its caps know the line's direction."""


def total_length(lines: Polylines) -> float:
    """Return the length of all subpaths together, gaps between them left out."""
    return float(sum(_lengths(ring).sum() for ring in lines.rings()))


def count_dashes(length: float, dashes: Sequence[float]) -> float:
    """Return how many dashes a line of ``length`` takes."""
    return (length / sum(dashes) + 1) * len(dashes) / 2


def dashed(
    points: Points, smooth: NDArray[np.bool_], closed: bool, dashes: Sequence[float], offset: float
) -> Iterator[tuple[Points, NDArray[np.bool_]]]:
    """Yield each drawn piece as its points and which of them lie inside a curve.

    ``dashes``: lengths drawn and left out in turn, their sum greater than 0. ``offset``: how far into the pattern the
    line begins. The pattern begins anew on every subpath.
    """
    if closed and not np.array_equal(points[0], points[-1]):
        points, smooth = np.vstack((points, points[:1])), np.append(smooth, False)
    lengths = _lengths(points)
    along = np.concatenate(([0.0], np.cumsum(lengths)))
    whole = float(along[-1])
    if whole == 0:
        return
    stretches = list(_drawn(whole, list(dashes) * (2 if len(dashes) % 2 else 1), offset))
    if closed and len(stretches) > 1 and stretches[0][0] == 0 and stretches[-1][1] == whole:
        # The last dash runs on into the first, round the corner where the subpath closes.
        points, smooth = np.vstack((points, points[1:])), np.append(smooth, smooth[1:])
        along = np.append(along, whole + along[1:])
        stretches = [*stretches[1:-1], (stretches[-1][0], whole + stretches[0][1])]
    for begin, end in stretches:
        last = max(end, begin + SHORTEST * whole)
        inside = slice(np.searchsorted(along, begin, side="right"), np.searchsorted(along, last, side="left"))
        ends = np.column_stack([np.interp((begin, last), along, points[:, axis]) for axis in (0, 1)])
        yield (
            np.vstack((ends[:1], points[inside], ends[1:])),
            np.concatenate(([False], smooth[inside], [False])),
        )


def _lengths(points: Points) -> NDArray[np.float64]:
    legs = np.diff(points, axis=0)
    lengths: NDArray[np.float64] = np.hypot(legs[:, 0], legs[:, 1])
    return lengths


def _drawn(whole: float, dashes: list[float], offset: float) -> Iterator[tuple[float, float]]:
    """Yield begin and end of every drawn stretch of a line of length ``whole``."""
    period = math.fsum(dashes)
    position = -(offset % period)
    while position < whole:
        begin = position
        for index in range(0, len(dashes), 2):
            end = begin + dashes[index]
            # What begins a hair before the end does so by rounding, and has no direction left.
            if (end > 0 or (end == 0 and begin == 0)) and begin < (1.0 - SHORTEST) * whole:
                yield max(begin, 0.0), min(end, whole)
            begin = end + dashes[index + 1]
        position += period
