"""Circles as chords: how far a chord may turn, and how many it takes, to stay near the true arc."""

from __future__ import annotations

import math

_LEAST, _MOST = 1e-12, 0.5
"""What a chord may stray as a share of the radius: below, it turns by nothing; above, it is a chord no more."""


def chord_step(radius: float, error: float) -> float:
    """Return the greatest turn, radians, whose chord strays from its arc by ``error`` at most; 120 degrees at most.

    A chord that turns by a strays by its sagitta, r (1 - cos(a / 2)). ``radius`` and ``error`` in the same unit.

    >>> round(math.degrees(chord_step(10.0, 0.005)), 2)
    3.62
    """
    share = _MOST if radius * _MOST <= error else max(error / radius, _LEAST)
    return 2 * math.acos(1.0 - share)


def chords_in(turn: float, radius: float, error: float, *, least: int = 2) -> int:
    """Return how many even chords draw an arc of ``turn`` radians within ``error``, ``least`` or more.

    >>> chords_in(math.pi / 2, 20.0, 0.01)
    25
    """
    return max(least, math.ceil(turn / chord_step(radius, error)))
