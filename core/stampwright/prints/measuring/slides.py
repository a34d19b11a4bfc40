"""Prints that were struck twice, or slid: ink that reaches farther only along the way that the stamp went."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LEAST_SLIDE = 0.06
"""Way from one strike to the other that is told, mm."""

_STRAY = 0.003  # mm, that a direction's spread may be off, in a good scan
_PLAINLY = 2.5  # times as well as by creeping ink, that a slide explains the directions
_TURNS = np.radians(np.arange(0.0, 180.0, 1.0))


class Slide(NamedTuple):
    """How far a stamp went between two strikes, mm, its way in degrees from x, and the spread without that, mm."""

    length: float
    turn: float
    spread: float


def find_slide(spread: Mapping[float, float]) -> Slide | None:
    """Return how a print slid, or was struck twice; None where creeping ink explains it as well.

    ``spread``: mm, by the direction of lines, degrees. Two strikes reach farther by half of their way, as seen across
    the lines: s + |d cos| / 2. Ink that creeps farther one way than the other does so as an ellipse reaches,
    √(a² cos² + b² sin²), of which two directions at right angles have one sum of squares, whichever they are.

    >>> find_slide({0.0: 0.1, 45.0: 0.1, 90.0: 0.1, 135.0: 0.1}) is None
    True
    >>> find_slide({0.0: 0.1, 45.0: 0.1707, 90.0: 0.2, 135.0: 0.1707}).length
    0.2
    """
    if set(spread) != {0.0, 45.0, 90.0, 135.0}:
        return None
    across = np.radians(np.array(list(spread)) + 90.0)
    seen = np.array(list(spread.values()))
    reach = np.abs(np.cos(across[:, None] - _TURNS)) / 2.0
    # For every way, a line through the four directions: its start is the spread, its slope the length.
    away = reach - reach.mean(axis=0)
    length = (away * (seen - seen.mean())[:, None]).sum(axis=0) / (away**2).sum(axis=0)
    start = seen.mean() - length * reach.mean(axis=0)
    left = np.sqrt(((start + length * reach - seen[:, None]) ** 2).mean(axis=0))
    left[(length < LEAST_SLIDE) | (start < -0.02)] = math.inf
    best = int(np.argmin(left))
    squares = spread[0.0] ** 2 + spread[90.0] ** 2 - spread[45.0] ** 2 - spread[135.0] ** 2
    creeping = abs(squares) / max(4.0 * float(np.abs(seen).mean()), 1e-6)
    if not left[best] < _STRAY or creeping < max(_PLAINLY * float(left[best]), _STRAY):
        return None
    return Slide(round(float(length[best]), 3), math.degrees(_TURNS[best]), float(start[best]))
