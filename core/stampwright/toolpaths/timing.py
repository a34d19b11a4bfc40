"""How long a toolpath takes: every move with its acceleration, and corners taken as fast as the machine bears.

The model: along each move the nozzle speeds up, goes on and slows down at a constant acceleration (a trapezoid);
between two moves it goes no faster than lets no axis jump by more than the jerk, or, where a file tells a junction
deviation, than sqrt(a d s / (1 - s)), s being the sine of half the angle between the moves (the formula of common
firmware, from memory). The machine looks ahead without end. Heating up, homing and what stands in macros are left
out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .moves import Moves, ToldMoves, Toolpath

ACCELERATION = 1000.0
"""mm/s², where a file tells none (assumed: common practice of small printers)."""

JERK = 8.0
"""mm/s by which an axis may jump, where a file tells neither that nor a junction deviation (assumed)."""

SPEED = 100.0
"""mm/s of moves before any speed is told (assumed)."""

_AT_A_TIME = 1_000_000

_Doubles = NDArray[np.float64]


@dataclass(frozen=True)
class Duration:
    """``seconds`` all in all; ``laying``: of them, spent laying; ``assumed``: what was assumed, in words."""

    seconds: float
    laying: float
    assumed: str


def time_of(toolpath: Toolpath) -> Duration:
    """Return how long a toolpath takes; see the module for the model."""
    moves, told = toolpath.moves, toolpath.told
    begin = moves.begin
    total = laying = 0.0
    # Between two parts the nozzle is taken to stand still, which costs milliseconds in a million moves.
    for first in range(0, len(moves), _AT_A_TIME):
        part = slice(first, first + _AT_A_TIME)
        seconds = _seconds(moves, begin, part, told)
        total += float(seconds.sum())
        laying += float(seconds[moves.volume[part] > 0].sum())
    return Duration(total + told.pauses, laying, _assumed(moves, told))


def _assumed(moves: Moves, told: ToldMoves) -> str:
    words = []
    if not (moves.acceleration > 0).any():
        words.append(f"{ACCELERATION:g} mm/s² acceleration")
    if told.jerk is None and told.deviation is None:
        words.append(f"{JERK:g} mm/s at corners")
    return " and ".join(words)


def _seconds(moves: Moves, begin: NDArray[np.float32], part: slice, told: ToldMoves) -> _Doubles:
    way = (moves.end[part] - begin[part]).astype(np.float64)
    length = np.sqrt((way**2).sum(axis=1))
    speed = moves.speed[part].astype(np.float64)
    speed[~(speed > 0)] = SPEED
    acceleration = moves.acceleration[part].astype(np.float64)
    acceleration[acceleration <= 0] = ACCELERATION
    if told.limits:
        np.minimum(acceleration, told.limits, out=acceleration)
    # A feed of volumes is timed by the length of filament that they are.
    fed = moves.fed[part] / (told.feed_area if told.volumetric else 1.0)
    goes = length > 1e-9
    seconds = np.where(goes, 0.0, fed / speed)
    if goes.any():
        corners = _corners(way[goes] / length[goes, None], speed[goes], acceleration[goes], told)
        # Where the feed alone turns between two moves, the nozzle stands.
        number = np.flatnonzero(goes)
        corners[1:-1][np.diff(number) > 1] = 0.0
        seconds[goes] = _trapezoids(length[goes], speed[goes], acceleration[goes], corners)
    return seconds


def _corners(way: _Doubles, speed: _Doubles, acceleration: _Doubles, told: ToldMoves) -> _Doubles:
    """Return the square of the greatest speed before each move and after the last, (n + 1,) mm²/s²."""
    bends = np.zeros(len(way) + 1)
    slower = np.minimum(speed[1:], speed[:-1])
    if told.deviation is not None and told.deviation > 0:
        half = np.sqrt(np.clip((1 - (way[1:] * way[:-1]).sum(axis=1)) / 2, 0.0, 1.0))
        # Half the angle between the moves, as the nozzle sees it: straight on is 180 degrees.
        sine = np.sqrt(np.maximum(1 - half**2, 0.0))
        with np.errstate(divide="ignore"):
            bends[1:-1] = np.minimum(acceleration[1:] * told.deviation * sine / np.maximum(1 - sine, 1e-12), slower**2)
    else:
        jerk = JERK if told.jerk is None else max(told.jerk, 0.1)
        jump = np.abs(way[1:] - way[:-1]).max(axis=1)
        bends[1:-1] = np.minimum(jerk / np.maximum(jump, 1e-9), slower) ** 2
    return bends


def _trapezoids(length: _Doubles, speed: _Doubles, acceleration: _Doubles, corners: _Doubles) -> _Doubles:
    """Return the seconds of moves in a row; ``corners``: mm²/s² that the square of the speed may reach at each."""
    gain = np.concatenate(([0.0], np.cumsum(2 * acceleration * length)))
    # The square of the speed changes by at most a move's gain; so backwards and forwards it is a running least.
    squares = np.minimum.accumulate((corners + gain)[::-1])[::-1] - gain
    squares = np.minimum.accumulate(squares - gain) + gain
    squares = np.maximum(squares, 0.0)
    begin, end = squares[:-1], squares[1:]
    peak = np.minimum(speed**2, (2 * acceleration * length + begin + end) / 2)
    peak = np.maximum(peak, np.maximum(begin, end))
    top = np.sqrt(peak)
    ramps = (2 * top - np.sqrt(begin) - np.sqrt(end)) / acceleration
    level = np.maximum(length - (2 * peak - begin - end) / (2 * acceleration), 0.0)
    return np.asarray(ramps + level / top)
