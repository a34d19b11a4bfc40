"""Grains: textures made from figures alone, the same for the same figures everywhere.

A grain is a function of the place: how deep, as a share from 0 (untouched) to 1 (deepest), at places (n, 2) mm, x along
the grain, for a size ``scale`` in mm and a seed. Its :class:`Grain` says how narrow its ridges and grooves are at half
depth, as a share of that size, so that it is never made finer than the printer lays.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...job.sections.face import GRAIN_NAMES as NAMES
from ..face_map import Points

Shares = NDArray[np.float64]


@dataclass(frozen=True)
class Grain:
    """A grain: how deep it is where, and the width of its narrowest ridge or groove at half depth over its size."""

    depth_at: Callable[[Points, float, int], Shares]
    narrowest: float


def ripple(places: Points, scale: float, _seed: int) -> Shares:
    """Waves across x, crest to crest ``scale`` mm, half of each above half depth."""
    return _wave(places[:, 1] / scale)


def hatching(places: Points, scale: float, _seed: int) -> Shares:
    """Straight grooves along x, ``scale`` mm apart, as wide as the ridges between them, with short slopes."""
    across = np.abs(2.0 * (places[:, 1] / scale % 1.0) - 1.0)
    # Slopes take a fifth of the way from the middle of a ridge to the middle of a groove.
    return _smooth((across - 0.4) / 0.2)


def linen(places: Points, scale: float, seed: int) -> Shares:
    """Plain weave: threads along x and y, ``scale`` mm apart, over and under by turns, some thicker than others.

    Where a thread comes over, it bulges along and across; what is seen is the higher of the two threads.
    """
    x, y = places[:, 0] / scale, places[:, 1] / scale
    highest = np.zeros(len(places))
    for along, across, which in ((y, x, 0.0), (x, y, 1.0)):
        thread = np.floor(across)
        # Over at every second crossing: one way where both threads' numbers add up to even, the other where to odd.
        over = _wave((along + 0.5 - thread - which) / 2.0)
        thickness = 0.85 + 0.15 * _chance(thread, np.full_like(thread, which), seed)
        highest = np.maximum(highest, thickness * _wave(across) * over)
    return 1.0 - highest


def stipple(places: Points, scale: float, seed: int) -> Shares:
    """Round pits about ``scale`` mm apart, a little out of line, 0.45 of that wide at half depth."""
    step = np.array((1.0, np.sqrt(0.75))) * scale
    row = np.floor(places[:, 1] / step[1])
    nearest = np.full(len(places), np.inf)
    for up in (-1.0, 0.0, 1.0):
        line = row + up
        shift = 0.5 * (line % 2.0)
        column = np.floor(places[:, 0] / step[0] - shift)
        for across in (-1.0, 0.0, 1.0):
            which = column + across
            # Pits stray by up to a tenth of their distance in any direction: two come no nearer than 0.8 of it.
            angle, stray = 2.0 * np.pi * _chance(which, line, seed), 0.1 * _chance(which, line, seed + 1)
            x = which + 0.5 + shift + stray * np.cos(angle)
            y = (line + 0.5) * step[1] / step[0] + stray * np.sin(angle)
            nearest = np.minimum(nearest, np.hypot(places[:, 0] / scale - x, places[:, 1] / scale - y))
    return 1.0 - _smooth((nearest - 0.125) / 0.2)


def wood_grain(places: Points, scale: float, seed: int) -> Shares:
    """A board sawn beside the pith: growth rings ``scale`` mm apart, drawn out into pointed arches along x.

    Rings are round about a pith that runs on a slant under the face; slow noise bends them. Late wood, the last third
    of a ring, stands; early wood is deep.
    """
    along, across = places[:, 0] / scale, places[:, 1] / scale
    bent = across + 0.9 * _noise(along / 24.0, across / 9.0, seed)
    under = 2.0 + 0.11 * (along - 20.0 * _chance(np.zeros(1), np.zeros(1), seed + 2))
    ring = np.hypot(bent, under) + 0.5 * _noise(along / 16.0, across / 8.0, seed + 1)
    return _wave(ring - 0.12 * np.sin(2.0 * np.pi * ring) / np.pi)


GRAINS: dict[str, Grain] = dict(
    zip(
        NAMES,
        (Grain(wood_grain, 0.35), Grain(linen, 0.32), Grain(stipple, 0.4), Grain(hatching, 0.5), Grain(ripple, 0.5)),
        strict=True,
    )
)
"""All grains by name, with how narrow they get: nine tenths of their ridges and grooves are that wide or wider."""


def _wave(turns: Shares) -> Shares:
    """Return 0 at whole turns, 1 half-way between."""
    wave: Shares = 0.5 - 0.5 * np.cos(2.0 * np.pi * turns)
    return wave


def _smooth(share: Shares) -> Shares:
    """Return a share brought to 0 ... 1, with level ends (Hermite's cubic)."""
    share = np.clip(share, 0.0, 1.0)
    smooth: Shares = share * share * (3.0 - 2.0 * share)
    return smooth


def _chance(column: Shares, row: Shares, seed: int) -> Shares:
    """Return a number from 0 to 1 for each whole (column, row), without rule to the eye and the same on every machine.

    The bits of the three numbers are mixed by multiplying and shifting, as in hash tables.
    """
    mixed = column.astype(np.int64).astype(np.uint64) * np.uint64(0x9E3779B97F4A7C15)
    mixed ^= row.astype(np.int64).astype(np.uint64) * np.uint64(0xC2B2AE3D27D4EB4F)
    mixed ^= np.uint64((seed + 1) * 0x165667B19E3779F9 % (1 << 64))
    for shift in (29, 32):
        mixed = (mixed ^ (mixed >> np.uint64(shift))) * np.uint64(0xBF58476D1CE4E5B9)
    share: Shares = (mixed >> np.uint64(40)).astype(np.float64) / float(1 << 24)
    return share


def _noise(x: Shares, y: Shares, seed: int) -> Shares:
    """Return slow noise from -1 to 1: chance at whole places, blended smoothly between (value noise)."""
    column, row = np.floor(x), np.floor(y)
    right, up = _smooth(x - column), _smooth(y - row)
    corners = [[_chance(column + across, row + over, seed) for across in (0.0, 1.0)] for over in (0.0, 1.0)]
    lower, upper = (left + right * (beyond - left) for left, beyond in corners)
    noise: Shares = 2.0 * (lower + up * (upper - lower)) - 1.0
    return noise
