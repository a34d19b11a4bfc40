"""Searching: the least of a growing figure with which something passes."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

CLOSE_ENOUGH = 1.03
"""A search ends when what passes is at most this many times what does not."""

MOST_TRIALS = 7


def least_that_passes(passes: Callable[[float], bool], low: float, high: float) -> float | None:
    """Return the least figure from ``low`` to ``high``, to 3 %, that passes, or None when ``high`` does not.

    Figures are taken to pass from some value on, and each that is returned was tried. Widths of ink and of gaps grow
    with the artwork, so ``low`` can be a bound below which nothing can pass; it is tried first, as it often does.

    >>> 3.0 <= least_that_passes(lambda size: size >= 3.0, 1.0, 16.0) < 3.1
    True
    """
    if low > high:
        return None
    if passes(low):
        return low
    if not passes(high):
        return None
    for _ in range(MOST_TRIALS):
        if high <= CLOSE_ENOUGH * low:
            break
        middle = math.sqrt(low * high)
        if passes(middle):
            high = middle
        else:
            low = middle
    return high


def first_that_passes(passes: Callable[[float], bool], figures: Sequence[float]) -> float | None:
    """Return the first of some figures, sorted from what passes least, that passes, or None when the last does not.

    >>> first_that_passes(lambda nozzle: nozzle <= 0.3, (0.6, 0.4, 0.3, 0.25, 0.2))
    0.3
    """
    if not figures or not passes(figures[-1]):
        return None
    low, high = -1, len(figures) - 1
    while high - low > 1:
        middle = (low + high) // 2
        if passes(figures[middle]):
            high = middle
        else:
            low = middle
    return figures[high]
