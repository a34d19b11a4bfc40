"""Artwork that comes again and again along one way, as a roller prints it: its end lies beside its beginning.

Whoever measures such artwork, or changes it, does so of a repeat with what its neighbours have beside it, and keeps
what lies in the repeat itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon, box
from shapely.geometry.base import BaseGeometry

from .overlays import all_joined, common
from .regions import filled_parts

BESIDE = 10.0
"""How far into its neighbours a repeat is looked at, mm: more than any gap, line or counter that is judged is wide."""

_FAR = 1e5  # mm; farther than anything lies
_SAME = 1e-6  # mm; places so close to an end are on it


@dataclass(frozen=True)
class Repeat:
    """A repeat of artwork, its middle at the origin: ``length`` mm, to the side, or up the paper if ``upward``."""

    length: float
    upward: bool = False

    def around(self, region: MultiPolygon) -> MultiPolygon:
        """Return ink of one repeat, mm, with that of its neighbours up to :data:`BESIDE` beyond both ends.

        Ink that lies so far from the ends that its neighbours do not matter comes back as it is.
        """
        if region.is_empty:
            return region
        bounds = region.bounds
        low, high = bounds[self._axis], bounds[self._axis + 2]
        if self.length - (high - low) > BESIDE:
            return region
        tiles = [self._moved(region, turn) for turn in (-1, 0, 1)]
        reach = min(BESIDE, self.length)
        return filled_parts(common(all_joined(tiles), self._window(self.length / 2.0 + reach)))

    def once(self, region: BaseGeometry) -> MultiPolygon:
        """Return what of a region lies within the repeat."""
        return filled_parts(common(region, self._window(self.length / 2.0)))

    def holds(self, points: Any) -> NDArray[np.bool_]:
        """Say of points, (n, 2) mm, whether they lie in the repeat; of its two ends only the first belongs to it.

        >>> Repeat(60.0).holds([(-30.0, 0.0), (0.0, 99.0), (30.0, 0.0)]).tolist()
        [True, True, False]
        """
        along = np.asarray(points, dtype=np.float64).reshape(-1, 2)[:, self._axis]
        within: NDArray[np.bool_] = (along >= -self.length / 2.0 - _SAME) & (along < self.length / 2.0 - _SAME)
        return within

    def goes_through(self, points: Any) -> bool:
        """Say whether points, (n, 2) mm, that belong to one thing, reach over both ends."""
        along = np.asarray(points, dtype=np.float64).reshape(-1, 2)[:, self._axis]
        return bool(along.min() < -self.length / 2.0 and along.max() > self.length / 2.0)

    def in_neighbours(self, points: Any) -> NDArray[np.float64]:
        """Return points, (n, 2) mm, with the same ones in both neighbours, (3 n, 2)."""
        given = np.asarray(points, dtype=np.float64).reshape(-1, 2)
        step = np.zeros(2)
        step[self._axis] = self.length
        return np.concatenate([given, given - step, given + step])

    def at_ends(self, region: BaseGeometry) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Return where ink meets the first end and the last, each as (n, 2) pairs of mm across, from and to."""
        return self._crossed(region, -self.length / 2.0 + _SAME), self._crossed(region, self.length / 2.0 - _SAME)

    @property
    def _axis(self) -> int:
        return 1 if self.upward else 0

    def _moved(self, region: MultiPolygon, turns: int) -> BaseGeometry:
        by = turns * self.length
        return affinity.translate(region, 0.0, by) if self.upward else affinity.translate(region, by, 0.0)

    def _window(self, half: float) -> BaseGeometry:
        return box(-_FAR, -half, _FAR, half) if self.upward else box(-half, -_FAR, half, _FAR)

    def _crossed(self, region: BaseGeometry, at: float) -> NDArray[np.float64]:
        ends = [(-_FAR, at), (_FAR, at)] if self.upward else [(at, -_FAR), (at, _FAR)]
        met = shapely.get_parts(common(shapely.LineString(ends), region))
        bounds = shapely.bounds(met[shapely.length(met) > 0.0]).reshape(-1, 4)
        across = 1 - self._axis
        return np.asarray(bounds[:, [across, across + 2]])
