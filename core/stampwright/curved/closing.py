"""A roller's die: as many repeats as go round, each joined to the next along the seam, point by point."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..errors import SolidError
from .bend import Bend
from .welding import SEAM_ERROR, weld_ends

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]


def close_round(points: Floats, triangles: Indices, bend: Bend, name: str) -> tuple[Floats, Indices]:
    """Return places round the axis, (n, 3) mm, and triangles of a die that goes all the way round.

    ``points``: of one repeat, divided, flat, (n, 3) mm, plain at both ends, or reaching over them. Raises
    :class:`~stampwright.errors.SolidError` when its ends do not meet.
    """
    low, high = bend.seam - bend.repeat, bend.seam
    if bend.overlap > 0.0:
        welded = weld_ends(points, triangles, low, high, face=bend.height, name=name)
        points, triangles, starts, meets = welded.points, welded.triangles, welded.starts, welded.meets
        ends = meets
    else:
        starts, ends = (np.flatnonzero(np.abs(points[:, 0] - at) < 1e-6) for at in (low, high))
        meets = _meeting(points, starts, ends, name)
    at_start, at_end = np.zeros(len(points), dtype=bool), np.zeros(len(points), dtype=bool)
    at_start[starts], at_end[ends] = True, True
    open_ended = triangles[~(at_start[triangles].all(axis=1) | at_end[triangles].all(axis=1))]
    kept = np.flatnonzero(~at_start)
    rank = np.full(len(points), -1)
    rank[kept] = np.arange(len(kept))
    places, corners = [], []
    for turn in range(bend.turns):
        shifted = points[kept] + (turn * bend.repeat, 0.0, 0.0)
        places.append(bend.rolled_up(shifted))
        number = rank + turn * len(kept)
        number[starts] = rank[meets] + ((turn - 1) % bend.turns) * len(kept)
        corners.append(number[open_ended])
    return np.concatenate(places), np.concatenate(corners)


def turn_of(bend: Bend) -> float:
    """Return how far the repeats together go round, radians: a whole turn, unless the bend is not what it says.

    >>> round(turn_of(Bend(radius=10.0, height=4.0, repeat=10.0 * np.pi, turns=2)) / np.pi, 9)
    2.0
    """
    return bend.repeat * bend.turns / bend.radius


def _meeting(points: Floats, starts: Indices, ends: Indices, name: str) -> Indices:
    """Return for each point at the start the one at the end that it meets."""
    by_start, by_end = (at[np.lexsort((points[at, 2], points[at, 1]))] for at in (starts, ends))
    if len(starts) < 3 or len(starts) != len(ends) or _apart(points, by_start, by_end) > SEAM_ERROR:
        raise SolidError(f"{name}: the two ends of its repeat do not meet, so it closes to no roller; move bend.seam")
    meets = np.empty(len(points), dtype=np.int64)
    meets[by_start] = by_end
    return meets[starts]


def _apart(points: Floats, one: Indices, other: Indices) -> float:
    gaps = points[one, 1:] - points[other, 1:]
    return float(np.hypot(gaps[:, 0], gaps[:, 1]).max())
