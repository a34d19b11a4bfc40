"""Play: how far an impression may land off its place, from the gap that a gauge leaves, the sheet, or the hand.

A backing in its gauge may shift by (x, y) and turn by a little; every point of its side stays inside the gauge as long
as it moves outward, square to the side, by no more than the clearance. For such small moves these are straight limits
in x, y and the turn, so the places that a backing can take fill a convex body, whose corners are the worst of them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

Pins = NDArray[np.float64]
"""(n, 3): shifts x and y, mm, and turns, radians, counter-clockwise about the origin."""

DIRECTIONS = 36
"""Sides of a backing that are looked at, spread over all directions; a round one has more, which add nothing."""

TURNS = 7
"""Turns at which the shifts that are left are worked out, from the one end of the play to the other."""

LIKELY = 95.0
"""Per cent of impressions that miss each other by no more than what is called likely."""

DRAWS = 2_000
"""Pairs of impressions that the likely miss is taken from."""

_AT_ONCE = 1_000  # places held against their limits: so few that the product of matrices wakes no threads

SEED = 20_05
"""Of chance, so that the same stamp misses by the same every time it is made."""


@dataclass(frozen=True, eq=False)
class Play:
    """How two impressions may miss each other: the ``worst`` and what is ``likely``, mm, anywhere on the art.

    ``shift`` and ``turn``: what of a single one's place is free, mm and degrees, to either side. ``source`` says in
    words where it comes from. ``_limits``: (n, 4) rows a, b, c, d, where a x + b y + c turn <= d holds of every place.
    """

    worst: float
    likely: float
    shift: float
    turn: float
    source: str
    _limits: NDArray[np.float64]
    _sheet: float

    def draw(self, count: int, chance: np.random.Generator) -> Pins:
        """Return places that impressions take, evenly spread over all that the play lets them, (count, 3)."""
        reach = np.array([self.shift, self.shift, max(math.radians(self.turn), 1e-12)])
        taken: list[NDArray[np.float64]] = []
        while sum(map(len, taken)) < count:
            tried = chance.uniform(-1.0, 1.0, (4 * count, 3)) * reach
            for few in np.split(tried, range(_AT_ONCE, len(tried), _AT_ONCE)):
                beyond = self._limits[:, :3] @ few.T - self._limits[:, 3:]
                taken.append(few[beyond.max(axis=0) <= 1e-12])
                if sum(map(len, taken)) >= count:
                    break
        places = np.concatenate(taken)[:count]
        places[:, :2] += chance.uniform(-self._sheet, self._sheet, (count, 2))
        return places


def play_in_gauge(outline: Polygon, clearance: float, sheet: float, art: BaseGeometry) -> Play:
    """Return how impressions miss each other whose backing has ``clearance`` all round in a gauge.

    ``outline``: of the backing with its key, paper frame, mm. ``sheet``: how far the sheet may lie off its stops, mm.
    ``art``: what is printed; the miss is told where it is greatest on it.
    """
    limits = _limits_of(outline, clearance)
    turns = _greatest_turn(limits)
    corners = np.vstack([_corners_at(limits, turn) for turn in np.linspace(-turns, turns, TURNS)] or [np.zeros((1, 3))])
    spots = _extremes(art)
    single = float(_moves(corners, spots).max(initial=0.0))
    shift = float(np.hypot(corners[:, 0], corners[:, 1]).max(initial=0.0))
    sheets = sheet * math.sqrt(2.0)
    told = f"a gauge with {clearance:g} mm of clearance, and {sheet:g} mm of the sheet at its stops"
    worst = 2.0 * (single + sheets)
    return _with_likely(Play(worst, worst, shift, math.degrees(turns), told, limits, sheet), spots)


def play_by_hand(miss: float, art: BaseGeometry, *, measured: bool) -> Play:
    """Return how impressions miss each other by ``miss`` mm at the most, as placed by eye or ``measured`` on prints."""
    angles = np.arange(DIRECTIONS) * (2 * math.pi / DIRECTIONS)
    # Half of it is either one's; a turn is part of it.
    limits = np.column_stack((np.cos(angles), np.sin(angles), np.zeros(DIRECTIONS), np.full(DIRECTIONS, miss / 2)))
    told = "prints that were measured" if measured else "placing by eye, without a gauge"
    play = Play(miss, miss, miss / 2, 0.0, told, limits, 0.0)
    return play if measured else _with_likely(play, _extremes(art))


def moved_by(regions: BaseGeometry, place: NDArray[np.float64]) -> BaseGeometry:
    """Return geometry, mm, as it lands from a place: turned about the origin, and shifted."""
    x, y, turn = (float(value) for value in place)
    cosine, sine = math.cos(turn), math.sin(turn)
    return shapely.transform(regions, lambda at: at @ np.array([[cosine, sine], [-sine, cosine]]) + (x, y))


def _with_likely(play: Play, spots: NDArray[np.float64]) -> Play:
    chance = np.random.default_rng(SEED)
    apart = play.draw(DRAWS, chance) - play.draw(DRAWS, chance)
    likely = float(np.percentile(_moves(apart, spots).max(axis=1), LIKELY))
    return Play(play.worst, min(likely, play.worst), play.shift, play.turn, play.source, play._limits, play._sheet)


def _limits_of(outline: Polygon, clearance: float) -> NDArray[np.float64]:
    """Return the limits that the sides of an outline put to its place, those of the most telling directions."""
    ring = shapely.get_coordinates(shapely.orient_polygons(outline).exterior)
    along = np.diff(ring, axis=0)
    length = np.hypot(*along.T)
    outward = np.column_stack((along[:, 1], -along[:, 0])) / np.maximum(length, 1e-12)[:, None]
    rows = []
    for spot in (ring[:-1], ring[1:]):
        # Of a turn, a point moves square to its arm.
        turned = outward[:, 1] * spot[:, 0] - outward[:, 0] * spot[:, 1]
        rows.append(np.column_stack((outward, turned, np.full(len(outward), clearance))))
    limits = np.concatenate(rows)[np.tile(length > 1e-9, 2)]
    telling: NDArray[np.float64] = limits[_telling(limits)]
    return telling


def _telling(limits: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return which limits to keep: for each direction those that allow the least turn either way."""
    sector = np.round(np.arctan2(limits[:, 1], limits[:, 0]) * DIRECTIONS / (2 * math.pi)).astype(int)
    kept: list[int] = []
    for each in np.unique(sector):
        members = np.flatnonzero(sector == each)
        kept += [int(members[limits[members, 2].argmax()]), int(members[limits[members, 2].argmin()])]
    return np.unique(kept)


def _greatest_turn(limits: NDArray[np.float64]) -> float:
    """Return the greatest turn, radians, at which some shift is left; half a turn where nothing hinders it."""
    low, high = 0.0, 0.5
    if len(_corners_at(limits, high)):
        return high
    for _ in range(24):
        middle = (low + high) / 2
        low, high = (middle, high) if len(_corners_at(limits, middle)) else (low, middle)
    return low


def _corners_at(limits: NDArray[np.float64], turn: float) -> Pins:
    """Return the corners of the shifts that are left at a turn, (n, 3); none where there is no shift left."""
    room = limits[:, 3] - turn * limits[:, 2]
    size = 2.0 * float(np.abs(room).max(initial=1.0)) + 1.0
    corners = [(-size, -size), (size, -size), (size, size), (-size, size)]
    # So few corners are cut faster one by one than as arrays.
    for (a, b), most in zip(limits[:, :2].tolist(), room.tolist(), strict=True):
        corners = _cut_off(corners, [a * x + b * y - most for x, y in corners])
        if not corners:
            return np.empty((0, 3))
    return np.column_stack((np.array(corners), np.full(len(corners), turn)))


def _cut_off(corners: list[tuple[float, float]], beyond: list[float]) -> list[tuple[float, float]]:
    """Cut a convex polygon along a line (Sutherland and Hodgman 1974): what is ``beyond`` it, above 0, goes."""
    if max(beyond) <= 0.0:
        return corners
    kept: list[tuple[float, float]] = []
    for at, (x, y) in enumerate(corners):
        following = (at + 1) % len(corners)
        out, out_next = beyond[at], beyond[following]
        if out <= 0:
            kept.append((x, y))
        if (out <= 0) != (out_next <= 0):
            share, (to_x, to_y) = out / (out - out_next), corners[following]
            kept.append((x + (to_x - x) * share, y + (to_y - y) * share))
    return kept


def _extremes(art: BaseGeometry) -> NDArray[np.float64]:
    """Return the outermost points of the art, (n, 2): no other moves farther when it turns."""
    outermost: NDArray[np.float64] = shapely.get_coordinates(shapely.convex_hull(art).simplify(0.1))
    return outermost


def _moves(places: Pins, spots: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far each of some spots moves by each place, (places, spots), mm; turns are small."""
    across = places[:, :1] - places[:, 2:] * spots[None, :, 1]
    up = places[:, 1:2] + places[:, 2:] * spots[None, :, 0]
    return np.hypot(across, up)
