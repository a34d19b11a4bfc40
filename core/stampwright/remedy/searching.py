"""Searching: the least of a growing figure with which something passes, in as few trials as may be."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

CLOSE_ENOUGH = 1.03
"""A search ends when what passes is at most this many times what does not."""

MOST_TRIALS = 7

FIRST_STEP = 1.15
"""A guess is gone up or down from by this, and each time by the square of the step before."""


def least_that_passes(
    passes: Callable[[float], bool],
    low: float,
    high: float,
    *,
    guess: float | None = None,
    close: float = CLOSE_ENOUGH,
    step: float = FIRST_STEP,
) -> float | None:
    """Return the least figure from ``low`` to ``high`` that passes, to a factor of ``close``, or None when none does.

    Figures are taken to pass from some value on, and each that is returned was tried. ``guess``: where to begin, by
    default ``low``; a good one spares most of the trials.

    >>> 3.0 <= least_that_passes(lambda size: size >= 3.0, 1.0, 16.0) < 3.1
    True
    >>> least_that_passes(lambda size: size >= 3.0, 1.0, 16.0, guess=3.0)
    3.0
    """
    if low > high:
        return None
    at = low if guess is None else min(max(guess, low), high)
    if passes(at):
        low, high = _gone_down(passes, low, at, close, step)
    else:
        found = _gone_up(passes, at, high, step)
        if found is None:
            return None
        low, high = found
    for _ in range(MOST_TRIALS):
        if high <= close * low:
            break
        middle = math.sqrt(low * high)
        if passes(middle):
            high = middle
        else:
            low = middle
    return high


def _gone_down(
    passes: Callable[[float], bool], low: float, high: float, close: float, step: float
) -> tuple[float, float]:
    """Return a figure that does not pass, or that is the least there is, and the next that does, down from ``high``."""
    last = high / close
    while high > low:
        at = max(last, low)
        if not passes(at):
            return at, high
        high, last, step = at, at / step, step * step
    return low, low


def _gone_up(passes: Callable[[float], bool], low: float, high: float, step: float) -> tuple[float, float] | None:
    """Return the last figure that does not pass and the next that does, going up from ``low``, which does not."""
    while low < high:
        at = min(low * step, high)
        if passes(at):
            return low, at
        low, step = at, step * step
    return None


def climbed(
    lack: Callable[[float], float | None], low: float, high: float, *, guess: float, close: float
) -> float | None:
    """Return the least figure above ``low`` to ``high`` that passes, to a factor of ``close``, or None when none does.

    ``lack``: by what factor a figure is too small, as far as can be told, 1 when it passes; None when there is no use
    in going on. ``guess``: where to begin. Each step goes as far as is lacking, so that few trials do.

    >>> climbed(lambda size: 1.0 if size >= 3.0 else min(3.5 / size, 2.0), 1.0, 8.0, guess=1.4, close=1.3)
    3.5
    """
    at, passed = min(max(guess, low), high), None
    for _ in range(MOST_TRIALS):
        by = lack(at)
        if by is None:
            break
        if by <= 1.0:
            passed = at
        else:
            low = at
        if passed is not None:
            if passed <= close * low:
                break
            at = math.sqrt(low * passed)
        elif at >= high:
            break
        else:
            at = min(at * by, high)
    return passed


def first_that_passes(passes: Callable[[float], bool], figures: Sequence[float], *, guess: int = 0) -> float | None:
    """Return the first of some figures, sorted from what passes least, that passes, or None when none does.

    ``guess``: which of them to begin with.

    >>> first_that_passes(lambda nozzle: nozzle <= 0.3, (0.6, 0.4, 0.3, 0.25, 0.2))
    0.3
    >>> first_that_passes(lambda nozzle: nozzle <= 0.3, (0.6, 0.4, 0.3, 0.25, 0.2), guess=3)
    0.3
    """
    at = min(max(guess, 0), len(figures) - 1)
    if not figures:
        return None
    if passes(figures[at]):
        while at and passes(figures[at - 1]):
            at -= 1
        return figures[at]
    return next((figure for figure in figures[at + 1 :] if passes(figure)), None)
