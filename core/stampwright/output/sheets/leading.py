"""Where numbers stand beside what they tell of, so that neither they nor the lines to them cover the art."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...plane.overlays import all_joined
from ...plane.rasters.distance import distance_inside
from ...plane.rasters.raster import MM_PER_INCH, picture_of
from ...plane.regions import filled_parts
from ...plane.rings import side_of
from ..sketches.marks import Spot

_CELL = 0.25
"""Side of the raster's cells, mm on the sheet: a line of print is told from its neighbour."""

_WAYS = 48
"""Directions in which room is looked for."""

_AWAY = (0.6, 1.5, 2.5, 4.0, 6.0, 8.5, 12.0, 16.0, 21.0, 27.0, 34.0, 42.0, 55.0, 70.0, 90.0, 115.0, 150.0)
"""How far from a place, mm on the sheet."""

_SAMPLES = 48
"""Points of a line at which it is seen whether it crosses ink."""

_STEP = 1.0
"""From place to place along the edges of the sheet, mm, where there is room when there is none nearer."""

_OVER_INK, _OVER_RING, _ACROSS, _ON_SOLID, _ON_INK, _ON_NUMBER = 12.0, 2.0, 60.0, 60.0, 400.0, 1e6
"""What a mm over ink, a mm over a place, a line crossed, and a number in the midst of a solid, on other ink and on a
number weigh, in mm of line. In a solid a number hides nothing that is drawn, and a long line to it would cross that."""

_HALF = 128
"""Tone of a picture's pixel that is half covered."""


@dataclass(frozen=True)
class Leader:
    """A number's place and where the line from it meets the ring that it leads to; mm on the sheet."""

    stand: Spot
    end: Spot


@dataclass(frozen=True, eq=False)
class Numbering:
    """A sheet ``width`` by ``height`` mm, with ink on it, that numbers ``size`` mm across from their middle are put on.

    ``inked``: where it lies on the sheet, x right, y down.
    """

    width: float
    height: float
    size: float
    inked: MultiPolygon

    def lead(self, rings: Sequence[BaseGeometry]) -> list[Leader]:
        """Return where the number of each of some rings stands, which are mm on the sheet.

        One after the other takes the room near its ring where nothing else stands and no ink is, and from where the
        line to the ring crosses least: other lines and numbers above all, then ink, then rings. Those with least choice
        come first. A number stands in the midst of a solid beside its place where paper is far off, and on other ink
        only where there is nothing else.
        """
        if not rings:
            return []
        ink = self._raster(self.inked)
        ringed = self._raster(filled_parts(all_joined([shapely.buffer(ring, 0.0) for ring in rings])))
        reach = self.size + 1.0
        off_ink, off_rings, in_ink = (_CELL * distance_inside(raster, reach / _CELL) for raster in (~ink, ~ringed, ink))
        open_to = [self._candidates(ring) for ring in rings]
        clear = [_at(off_ink, each.stands) >= self.size + 0.3 for each in open_to]
        taken, leaders = _Taken(self.size), dict[int, Leader]()
        for at in sorted(range(len(rings)), key=lambda at: (int(clear[at].sum()), at)):
            weights = open_to[at].lengths + _OVER_INK * open_to[at].over(ink) + _OVER_RING * open_to[at].over(ringed)
            solid = _at(in_ink, open_to[at].stands) >= self.size + 0.3
            weights += np.where(clear[at], 0.0, np.where(solid, _ON_SOLID, _ON_INK))
            weights += _ACROSS * (_at(off_rings, open_to[at].stands) < self.size)
            leaders[at] = taken.take(weights, open_to[at])
        return [leaders[at] for at in range(len(rings))]

    def _raster(self, region: MultiPolygon) -> NDArray[np.bool_]:
        """Return which cells a region of the sheet fills, top row first."""
        rows, columns = math.ceil(self.height / _CELL), math.ceil(self.width / _CELL)
        if region.is_empty:
            return np.zeros((rows, columns), dtype=np.bool_)
        upright = shapely.transform(region, lambda points: points * (1.0, -1.0) + (0.0, rows * _CELL))
        return np.asarray(picture_of(upright, (rows, columns), (0.0, 0.0), MM_PER_INCH / _CELL) < _HALF)

    def _candidates(self, ring: BaseGeometry) -> _Candidates:
        """Return places for a number in all directions from a ring and by the edges of the sheet, and their lines."""
        angles = 2.0 * np.pi * np.arange(_WAYS) / _WAYS
        towards = np.column_stack([np.cos(angles), np.sin(angles)])
        left, top, right, bottom = ring.bounds
        half = np.maximum([(right - left) / 2.0, (bottom - top) / 2.0], 0.1)
        # From the box round it, outwards.
        away = 1.0 / (np.abs(towards) / half).max(axis=1)[:, None] + self.size + np.array(_AWAY)
        middle = np.array([(left + right) / 2.0, (top + bottom) / 2.0])
        stands = (middle + towards[:, None, :] * away[:, :, None]).reshape(-1, 2)
        edge = self.size + 0.3
        inside = (stands >= edge).all(axis=1) & (stands <= (self.width - edge, self.height - edge)).all(axis=1)
        sides = np.array(
            [(x, y) for x in (edge, self.width - edge) for y in np.arange(edge, self.height - edge, _STEP)]
        )
        stands = np.concatenate([stands[inside], sides.reshape(-1, 2)])
        lines = shapely.shortest_line(shapely.points(stands), shapely.boundary(ring))
        return _Candidates(stands, shapely.get_coordinates(lines)[1::2])


@dataclass(frozen=True, eq=False)
class _Candidates:
    """Places for a number and where the line from each ends, both (n, 2) mm."""

    stands: NDArray[np.float64]
    ends: NDArray[np.float64]

    @property
    def lengths(self) -> NDArray[np.float64]:
        """How long the lines are, (n,) mm."""
        return np.asarray(np.hypot(*(self.ends - self.stands).T))

    def over(self, raster: NDArray[np.bool_]) -> NDArray[np.float64]:
        """Return how much of each line lies over what a raster has, (n,) mm."""
        share = (np.arange(_SAMPLES) + 0.5) / _SAMPLES
        along = self.stands[:, None, :] + (self.ends - self.stands)[:, None, :] * share[None, :, None]
        on = _at(raster, along.reshape(-1, 2)).reshape(len(self.stands), _SAMPLES)
        return np.asarray(on.mean(axis=1) * self.lengths)


class _Taken:
    """The numbers and lines that stand already."""

    def __init__(self, size: float) -> None:
        self._size = size
        self._leaders: list[Leader] = []

    def take(self, weights: NDArray[np.float64], open_to: _Candidates) -> Leader:
        """Return the lightest place that nobody has taken, and take it."""
        stands, ends = open_to.stands[:, None, :], open_to.ends[:, None, :]
        others = np.array([(each.stand, each.end) for each in self._leaders]).reshape(-1, 2, 2)
        standing, ended = others[None, :, 0], others[None, :, 1]
        meets = _crossing(stands, ends, standing, ended)
        # Nor does a line run under another number, or a number stand on another line.
        meets |= _apart(standing, stands, ends) < self._size
        meets |= _apart(stands, standing, ended) < self._size
        together = np.hypot(*np.moveaxis(stands - standing, 2, 0)) < 2.0 * self._size + 0.5
        best = int(np.argmin(weights + _ACROSS * meets.sum(axis=1) + _ON_NUMBER * together.any(axis=1)))
        stand, end = open_to.stands[best].tolist(), open_to.ends[best].tolist()
        self._leaders.append(Leader((stand[0], stand[1]), (end[0], end[1])))
        return self._leaders[-1]


def _crossing(
    start: NDArray[np.float64], end: NDArray[np.float64], from_: NDArray[np.float64], to: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Return which lines cross which others; points as (n, m, 2), or what spreads to that."""
    parted = side_of(start, end, from_) * side_of(start, end, to) < 0.0
    return np.asarray(parted & (side_of(from_, to, start) * side_of(from_, to, end) < 0.0))


def _apart(point: NDArray[np.float64], start: NDArray[np.float64], end: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how far points lie from lines; points as (n, m, 2), or what spreads to that."""
    along = end - start
    share = ((point - start) * along).sum(axis=-1) / np.maximum((along * along).sum(axis=-1), 1e-12)
    off = point - (start + np.clip(share, 0.0, 1.0)[..., None] * along)
    return np.asarray(np.hypot(off[..., 0], off[..., 1]))


def _at(raster: NDArray[Any], spots: NDArray[np.float64]) -> NDArray[Any]:
    """Return what a raster has at some spots, (n, 2) mm."""
    rows, columns = raster.shape
    column = np.clip((spots[:, 0] / _CELL).astype(np.int64), 0, columns - 1)
    row = np.clip((spots[:, 1] / _CELL).astype(np.int64), 0, rows - 1)
    return np.asarray(raster[row, column])
