"""Parts on a printer's bed: whether one fits, how it is turned to fit, and how several share beds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

ROOMS = ((10.0, 10.0), (5.0, 3.0), (2.0, 1.0), (1.0, 0.0))
"""Room tried from part to part and from the bed's edge, mm, besides brims; the first that holds all on one bed is taken
(assumed: 10 mm leave a hand's room to lift parts off)."""

TURN_STEP = 0.25
"""Turns tried for a part that fits neither straight nor at a quarter turn, degrees."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True)
class BedPlace:
    """Where a part stands: on which ``bed``, counted from 0, and how it comes there.

    It is turned by ``turn`` degrees counter-clockwise about the origin, then moved by ``x`` and ``y``, mm, from the
    front left corner of that bed.
    """

    bed: int
    turn: float
    x: float
    y: float


@dataclass(frozen=True)
class Fit:
    """How an outline fits a bed: best turned by ``turn`` degrees, then at most ``scale`` times as large as it is."""

    turn: float
    scale: float

    @property
    def fits(self) -> bool:
        """Whether it fits at its own size, to a micrometre in a metre."""
        return self.scale >= 1.0 - 1e-6


def fit_on_bed(points: _Floats, bed: tuple[float, float], brim: float = 0.0) -> Fit:
    """Return how an outline fits on a bed: as it is if it can be, at a quarter turn, or askew.

    ``points``: (n, 2) float, mm, of what stands on the bed; ``bed``: width and depth, mm; ``brim``: round it, mm.

    >>> fit_on_bed(np.array([(0, 0), (250, 20.0)]), (220, 220)).fits
    True
    """
    room = np.maximum(np.asarray(bed) - 2.0 * brim, 1e-9)
    low, high = box_of(points)
    straight, quarter = _scale_of(high - low, room), _scale_of((high - low)[::-1], room)
    for turn, scale in ((0.0, straight), (90.0, quarter)):
        if scale >= 1.0 - 1e-6:
            return Fit(turn, scale)
    hull = shapely.get_coordinates(shapely.multipoints(points).convex_hull)
    turns = np.arange(0.0, 180.0, TURN_STEP)
    scales = np.array([_scale_at(hull, turn, room) for turn in turns])
    best = int(np.argmax(scales))
    # What fits nowhere is told of as it stands, unless askew it may be a good deal larger.
    if scales[best] < 1.0 - 1e-6 and scales[best] < 1.02 * max(straight, quarter):
        return Fit(0.0, straight) if straight >= quarter else Fit(90.0, quarter)
    return Fit(float(turns[best]), float(scales[best]))


def arrange(outlines: Sequence[_Floats], bed: tuple[float, float], brim: float = 0.0) -> tuple[BedPlace, ...]:
    """Return where parts stand, in rows from the front left corner, on as few beds as rows need.

    ``outlines``: (n, 2) float, mm, each. What fits no bed stands on one of its own, and over its edge.
    """
    turns = [fit_on_bed(points, bed, brim).turn for points in outlines]
    boxes = [_box_turned(points, turn) for points, turn in zip(outlines, turns, strict=True)]
    best: list[tuple[int, float, float]] = []
    for between, edge in ROOMS:
        rows = in_rows([high - low for low, high in boxes], bed, between + 2.0 * brim, edge + brim)
        if not best or rows[-1][0] < best[-1][0]:
            best = rows
        if best[-1][0] == 0:
            break
    return tuple(
        BedPlace(number, turn, x - float(low[0]), y - float(low[1]))
        for (number, x, y), turn, (low, _) in zip(best, turns, boxes, strict=True)
    )


def turned(points: _Floats, degrees: float) -> _Floats:
    """Return points (n, 2) turned counter-clockwise about the origin; quarter turns are exact."""
    if degrees == 0.0:
        return points
    cosine, sine = cosine_and_sine(degrees)
    moved: _Floats = points @ np.array(((cosine, sine), (-sine, cosine)))
    return moved


def cosine_and_sine(degrees: float) -> tuple[float, float]:
    """Return cosine and sine of an angle in degrees, exact at quarter turns.

    >>> cosine_and_sine(90.0)
    (0.0, 1.0)
    """
    quarters, rest = divmod(degrees, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    return math.cos(math.radians(degrees)), math.sin(math.radians(degrees))


def _scale_at(points: _Floats, turn: float, room: _Floats) -> float:
    low, high = box_of(turned(points, turn))
    return _scale_of(high - low, room)


def _scale_of(size: _Floats, room: _Floats) -> float:
    return float((room / np.maximum(size, 1e-9)).min())


def box_of(points: _Floats) -> tuple[_Floats, _Floats]:
    """Return the lowest and the highest of each column of points, (n, k), two (k,) arrays.

    One column after the other, which takes a tenth of what all rows at once take.
    """
    columns = [points[:, number] for number in range(points.shape[1])]
    return np.array([each.min() for each in columns]), np.array([each.max() for each in columns])


def _box_turned(points: _Floats, turn: float) -> tuple[_Floats, _Floats]:
    """Return the box of points that are turned; at quarter turns, of its own corners."""
    return box_of(turned(np.stack(box_of(points)) if turn % 90.0 == 0.0 else points, turn))


def in_rows(
    sizes: Sequence[_Floats], bed: tuple[float, float], between: float, edge: float
) -> list[tuple[int, float, float]]:
    """Return bed, and place of the lower left corner, of boxes in rows, each row as deep as its deepest box."""
    found = []
    number, x, y, deepest = 0, edge, edge, 0.0
    for width, depth in sizes:
        if x > edge and x + width + edge > bed[0] + 1e-9:
            x, y, deepest = edge, y + deepest + between, 0.0
        if (x > edge or y > edge) and y + depth + edge > bed[1] + 1e-9:
            number, x, y, deepest = number + 1, edge, edge, 0.0
        found.append((number, _cornered(x, width, bed[0], edge), _cornered(y, depth, bed[1], edge)))
        x += float(width) + between
        deepest = max(deepest, float(depth))
    return found


def _cornered(at: float, size: float, room: float, edge: float) -> float:
    """Return where a box begins: one that fills its bed so that no edge is left free stands in the middle of it."""
    return max((room - float(size)) / 2.0, 0.0) if at == edge and edge + size + edge > room else at
