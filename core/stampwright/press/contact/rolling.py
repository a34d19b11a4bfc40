"""A curved face rolled over paper under a steady push: how far each line of it comes past the paper at its nearest.

At any moment a band of the face is in touch, the nearer to the line under the axis the more: what lies d to the side
stands back by d² / (2 R) (the parabola of H. Hertz's line contact; K. L. Johnson, "Contact Mechanics" (1985), section
4.2). The push is shared among springs, as for a flat face. Nothing is felt of the speed: rubber's lag, and ink that is
pressed aside, are left out (assumed; a hand rolls slowly).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .push import Places

Floats = NDArray[np.float64]

_LEVELS = 256
_STEP = 0.5  # mm; how far the face rolls on between two looks, at most
_HALVINGS = 20


@dataclass(frozen=True, kw_only=True)
class Rolling:
    """How a face rolls: on ``radius`` mm, along y if ``upward``, else along x; ``round_once`` mm on, it comes again.

    ``round_once`` is 0 for a face that ends.
    """

    radius: float
    upward: bool = False
    round_once: float = 0.0

    def along(self, places: Places) -> Floats:
        """Return where places are along the way, (n,) mm."""
        return places.y if self.upward else places.x

    def set_back(self, along: Floats, at: Floats | float) -> Floats:
        """Return how far places stand back from the line under the axis ``at``, mm; arrays that broadcast."""
        away = np.asarray(along - at)
        if self.round_once > 0.0:
            away = away - np.rint(away / self.round_once) * self.round_once
        return np.asarray(away * away / (2.0 * self.radius))


@dataclass(frozen=True, eq=False)
class Rolled:
    """A face that was rolled over paper.

    ``pressure``: (n,) float, MPa, the greatest that each place came under. ``at``: (k,) mm, where the axis was looked
    at; ``approach``: (k,) mm, how far the highest place would have come past the paper there; ``band``: (k,) mm, how
    wide what touched was, along the way.
    """

    pressure: Floats
    at: Floats
    approach: Floats
    band: Floats


def roll_on_springs(places: Places, compliance: Floats, rolling: Rolling, force: float, *, deepest: float) -> Rolled:
    """Roll a face over paper under ``force`` N, each place on a spring of ``compliance``, (n,) mm/MPa.

    ``deepest``: how far the face may come past the paper, mm: there its floor carries what is left of the push.
    """
    way = _Way.of(places, compliance, rolling, deepest)
    approach = way.approach_under(force)
    nearest = (approach[None, :] - rolling.set_back(way.lines[:, None], way.at[None, :])).max(axis=1)
    depth = places.height.max() - places.height
    pressure = np.maximum(nearest[way.line_of] - depth, 0.0) / compliance
    return Rolled(pressure, way.at, approach, 2.0 * np.sqrt(2.0 * rolling.radius * approach))


def force_at(places: Places, compliance: Floats, rolling: Rolling, depth: float) -> float:
    """Return the push under which the highest places come ``depth`` mm past the paper, at the middling place, N."""
    way = _Way.of(places, compliance, rolling, depth)
    return float(np.median(way.force(np.full(len(way.at), depth))))


@dataclass(frozen=True, eq=False)
class _Way:
    """The face line by line across the way, each with the push that it takes to bring it to every level.

    ``lines``: (m,) mm, where they are; ``line_of``: (n,) the line of each place; ``taken``: (m, levels) N. ``at``:
    (k,) where the axis is looked at, the lines numbered ``numbers``; ``offsets``: (j,) lines to each side that may
    touch, and how far they stand ``back``, mm.
    """

    lines: Floats
    line_of: NDArray[np.intp]
    taken: Floats
    at: Floats
    numbers: NDArray[np.intp]
    offsets: NDArray[np.intp]
    back: Floats
    step: float
    round_about: bool

    @classmethod
    def of(cls, places: Places, compliance: Floats, rolling: Rolling, deepest: float) -> _Way:
        pitch, along = float(np.sqrt(places.area)), rolling.along(places)
        start = float(along.min())
        line_of = np.rint((along - start) / pitch).astype(np.intp)
        count = int(line_of.max()) + 1
        if rolling.round_once > 0.0:
            count = min(count, max(1, round(rolling.round_once / pitch)))
            line_of %= count
        depth = places.height.max() - places.height
        step = deepest / _LEVELS
        near = depth < deepest
        level = depth[near] / step
        low = level.astype(np.intp)
        spring = places.area / compliance[near]
        bins = np.zeros(count * (_LEVELS + 2))
        row = line_of[near] * (_LEVELS + 2) + low
        bins += np.bincount(row, spring * (1.0 - (level - low)), minlength=len(bins))
        bins += np.bincount(row + 1, spring * (level - low), minlength=len(bins))
        pressed = np.cumsum(bins.reshape(count, _LEVELS + 2), axis=1)
        taken = np.zeros((count, _LEVELS + 1))
        taken[:, 1:] = np.cumsum(pressed[:, :_LEVELS], axis=1) * step
        inked = np.flatnonzero(pressed[:, _LEVELS // 2] > 0.0)
        numbers = np.arange(inked[0], inked[-1] + 1, max(1, round(_STEP / pitch)))
        reach = int(np.sqrt(2.0 * rolling.radius * deepest) / pitch)
        if rolling.round_once > 0.0:
            reach = min(reach, (count - 1) // 2)
        offsets = np.arange(-reach, reach + 1)
        lines = np.asarray(start + np.arange(count) * pitch, dtype=np.float64)
        back = np.asarray((offsets * pitch) ** 2 / (2.0 * rolling.radius), dtype=np.float64)
        return cls(lines, line_of, taken, lines[numbers], numbers, offsets, back, step, rolling.round_once > 0.0)

    def force(self, approach: Floats) -> Floats:
        """Return the push, (k,) N, that brings the highest places ``approach``, (k,) mm, past the paper."""
        who = self.numbers[:, None] + self.offsets[None, :]
        within = np.ones(who.shape, dtype=bool) if self.round_about else (who >= 0) & (who < len(self.lines))
        level = np.clip((approach[:, None] - self.back[None, :]) / self.step, 0.0, self.taken.shape[1] - 1)
        low = np.minimum(level.astype(np.intp), self.taken.shape[1] - 2)
        place = (who % len(self.lines)) * self.taken.shape[1] + low
        flat = self.taken.reshape(-1)
        taken = flat[place] + (flat[place + 1] - flat[place]) * (level - low)
        return np.asarray(np.where(within, taken, 0.0).sum(axis=1))

    def approach_under(self, force: float) -> Floats:
        """Return how far the highest places come past the paper, (k,) mm, wherever the axis is, under ``force`` N."""
        low, high = np.zeros(len(self.at)), np.full(len(self.at), self.step * (self.taken.shape[1] - 1))
        for _ in range(_HALVINGS):
            middle = (low + high) / 2.0
            enough = self.force(middle) >= force
            low, high = np.where(enough, low, middle), np.where(enough, middle, high)
        return high
