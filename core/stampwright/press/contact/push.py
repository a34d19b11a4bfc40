"""What pushes the face against the paper, and the rigid plane that the push leaves free.

The face moves as one stiff body: forward by ``approach`` and, unless it is kept level, round by two slopes. At a place
(x, y) it has come forward by approach + slope_x x + slope_y y, mm; x and y count from the place that the caller chose.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely import contains_xy, prepare
from shapely.geometry import MultiPoint, Point
from shapely.geometry.base import BaseGeometry

from ...errors import PressError

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Places:
    """The places of a face that may touch: ``height``, larger nearer to the paper, ``x``, ``y``: (n,) float, mm.

    ``area``: of one place, mm². ``like``: the same places at other heights, whose other properties hold here, too.
    """

    height: Floats
    x: Floats
    y: Floats
    area: float
    like: Places | None = None

    def at(self, numbers: NDArray[np.intp]) -> Places:
        """Return some of the places, by their numbers."""
        return Places(self.height[numbers], self.x[numbers], self.y[numbers], self.area)

    def at_heights(self, height: Floats) -> Places:
        """Return the same places at other heights, (n,) mm."""
        return Places(height, self.x, self.y, self.area, self if self.like is None else self.like)

    @cached_property
    def hull(self) -> BaseGeometry:
        """What the places span, mm: a push whose line passes outside it tips the face over."""
        if self.like is not None:
            return self.like.hull
        # The ends of each run of places along one line span the same hull as all places.
        begins = np.flatnonzero(np.diff(self.y, prepend=np.nan) != 0.0)
        level = self.y[begins]
        left, right = np.minimum.reduceat(self.x, begins), np.maximum.reduceat(self.x, begins)
        hull = MultiPoint(np.concatenate([np.stack([left, level], 1), np.stack([right, level], 1)])).convex_hull
        prepare(hull)
        return hull

    @cached_property
    def tilts(self) -> Floats:
        """How each place moves with the approach and the two slopes, (3, n)."""
        if self.like is not None:
            return self.like.tilts
        return np.stack([np.ones_like(self.x), self.x, self.y])

    @cached_property
    def tilts_paired(self) -> Floats:
        """Products of these motions two by two, (6, n), the upper half of a matrix row by row."""
        if self.like is not None:
            return self.like.tilts_paired
        _, x, y = self.tilts
        return np.stack([self.tilts[0], x, y, x * x, x * y, y * y])

    @cached_property
    def span(self) -> Floats:
        """The greatest of each of these motions, (3,)."""
        return np.abs(self.tilts).max(axis=1) if self.like is None else self.like.span


@dataclass(frozen=True, eq=False)
class Top:
    """Places of a face near its top: their ``numbers``, (n,) int, and they; the rest lies ``lower`` mm high or less."""

    numbers: NDArray[np.intp]
    places: Places
    lower: float

    @classmethod
    def of(cls, places: Places, reach: float) -> Top:
        """Return the places that lie no lower than ``reach``, mm, under the highest."""
        near = places.height > places.height.max() - reach
        lower = float(places.height.max(initial=-np.inf, where=~near))
        numbers = np.flatnonzero(near)
        return cls(numbers, places.at(numbers), lower)

    def at_heights(self, height: Floats) -> Top:
        """Return the same places, of all whose heights are ``height`` now, (m,) mm."""
        rest = np.ones(len(height), dtype=np.bool_)
        rest[self.numbers] = False
        lower = float(height.max(initial=-np.inf, where=rest))
        return Top(self.numbers, self.places.at_heights(height[self.numbers]), lower)


@dataclass(frozen=True, kw_only=True)
class Push:
    """A push of ``force`` N, or, when ``depth`` is given instead, to that depth past first touch, mm.

    ``at``: where the force's line passes, mm, so that the face turns until moments balance; None keeps it at ``slopes``
    (rise per mm along x and y), which is level unless told otherwise.
    """

    force: float | None = None
    depth: float | None = None
    at: tuple[float, float] | None = None
    slopes: tuple[float, float] = (0.0, 0.0)

    def __post_init__(self) -> None:
        """Check that exactly one of force and depth is given, above 0; raises :class:`PressError`."""
        if (self.force is None) == (self.depth is None):
            raise PressError("a push takes either a force or a depth, not both and not neither")
        given, name, unit = (self.force, "force", "N") if self.depth is None else (self.depth, "depth", "mm")
        if given is None or not 0.0 < given < math.inf:
            raise PressError(f"{name} = {given!r} {unit} presses nothing; give a {name} above 0 {unit}")
        if self.at is not None and self.depth is not None:
            raise PressError("a push to a depth is kept level; give a force to let the face turn")


@dataclass(frozen=True, eq=False)
class Held:
    """The face held against the paper.

    ``pressure``: (n,) float, MPa, one for each place; ``approach`` mm, at x = y = 0, of height 0; ``slopes`` along x
    and y; ``force`` N.
    ``rounds``: how often the solver went round; ``error``: what is left of the contact conditions, as a share.
    """

    pressure: Floats
    approach: float
    slopes: tuple[float, float]
    force: float
    rounds: int
    error: float


def directions(places: Places, push: Push) -> Floats:
    """Return (k, n): how each place moves with each motion that the push leaves free (none for a given depth)."""
    if push.force is None:
        return np.empty((0, len(places.x)))
    if push.at is None:
        return np.ones((1, len(places.x)))
    return places.tilts


def resultant(push: Push) -> Floats:
    """Return (k,): force, and its moments along x and y, that pressure must add up to; N and N mm."""
    if push.force is None:
        return np.empty(0)
    if push.at is None:
        return np.array([push.force])
    return push.force * np.array([1.0, *push.at])


def set_back(places: Places, push: Push) -> Floats:
    """Return the heights with what is given of slopes and depth, not sought, already in them, mm."""
    if push.at is not None:
        return places.height
    placed = places.height + push.slopes[0] * places.x + push.slopes[1] * places.y
    return placed if push.depth is None else placed - placed.max() + push.depth


def held(places: Places, push: Push, pressure: Floats, motion: Floats, *, rounds: int, error: float) -> Held:
    """Return the outcome as plain figures; ``motion`` is (k,) as in :func:`directions`."""
    slopes = push.slopes if push.at is None else (float(motion[1]), float(motion[2]))
    if push.depth is not None:
        placed = places.height + slopes[0] * places.x + slopes[1] * places.y
        approach = push.depth - float(placed.max())
    else:
        approach = float(motion[0])
    return Held(pressure, approach, slopes, float(pressure.sum()) * places.area, rounds, error)


def check_line(places: Places, push: Push) -> None:
    """Raise :class:`PressError` when the force's line passes outside all places that could carry it: it would tip."""
    if push.at is not None and not contains_xy(places.hull, *push.at):
        raise PressError(
            f"a push at {push.at[0]:.1f}, {push.at[1]:.1f} mm lies {places.hull.distance(Point(push.at)):.1f} mm "
            "outside the face: the stamp would tip over; push nearer to the middle"
        )
