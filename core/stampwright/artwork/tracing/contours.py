"""Contours: the edge between ink and paper, to a fraction of a pixel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import contourpy
import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Offsets = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Rings:
    """Closed rings, one after the other.

    ``points``: (n, 2), pixels, x right, y up from the picture's lower-left corner, the first point of a ring not
    repeated. ``starts``: (m + 1,) where each ring begins, and the end. ``holes``: (m,) whether it bounds paper inside
    ink; a hole follows the outer ring that holds it.
    """

    points: Points
    starts: Offsets
    holes: NDArray[np.bool_]

    @property
    def counts(self) -> Offsets:
        """Points of each ring."""
        return np.diff(self.starts)

    @property
    def areas(self) -> Points:
        """Area enclosed by each ring, square pixels, whichever way it turns (shoelace formula)."""
        if not len(self.counts):
            return np.zeros(0)
        ahead = self.points[self.neighbours(1)]
        cross = self.points[:, 0] * ahead[:, 1] - self.points[:, 1] * ahead[:, 0]
        areas: Points = np.abs(np.add.reduceat(cross, self.starts[:-1])) / 2
        return areas

    @property
    def owners(self) -> Offsets:
        """For each point the ring that it belongs to."""
        return np.repeat(np.arange(len(self.counts)), self.counts)

    def neighbours(self, step: int | Offsets) -> Offsets:
        """For each point the index of the one ``step`` (one, or one each) further round; negative steps go back."""
        first = np.repeat(self.starts[:-1], self.counts)
        around = np.repeat(self.counts, self.counts)
        return first + (np.arange(len(self.points)) - first + step) % around

    def only(self, kept: NDArray[np.bool_]) -> Rings:
        """Return some of the rings; ``kept``: (m,)."""
        starts = np.concatenate([[0], np.cumsum(self.counts[kept])]).astype(np.intp)
        return Rings(self.points[kept[self.owners]], starts, self.holes[kept])


def trace_contours(height: NDArray[np.float32]) -> Rings:
    """Return the rings round all places where ``height`` is below 0, found by linear interpolation between pixels.

    ``height``: (rows, columns), top row first: brightness less threshold. Beyond the picture there is paper. Marching
    squares by contourpy, which groups holes with what holds them; 20 million pixels take it half a second.
    """
    rows, columns = height.shape
    # One row of paper all round closes what runs off the picture, just at the picture's edge.
    framed = np.full((rows + 2, columns + 2), max(float(np.abs(height).max()), 1e-6))
    framed[1:-1, 1:-1] = height[::-1]
    x, y = np.empty(framed.shape), np.empty(framed.shape)
    x[:], y[:] = np.arange(columns + 2) - 0.5, np.arange(rows + 2)[:, None] - 0.5
    # contourpy.contour_generator would copy all of this several times to look for masks, at thrice the time.
    generator = contourpy.SerialContourGenerator(
        x,
        y,
        framed,
        None,  # type: ignore[arg-type]
        corner_mask=False,
        line_type=contourpy.LineType.Separate,
        fill_type=contourpy.FillType.ChunkCombinedOffsetOffset,
        quad_as_tri=False,
        z_interp=contourpy.ZInterp.Linear,
        x_chunk_size=0,
        y_chunk_size=0,
    )
    chunks: Any = generator.filled(-np.inf, 0.0)
    points, starts, outers = (chunk[0] for chunk in chunks)
    if points is None:
        return Rings(np.zeros((0, 2)), np.zeros(1, np.intp), np.zeros(0, np.bool_))
    starts = starts.astype(np.intp)
    holes = np.ones(len(starts) - 1, dtype=np.bool_)
    holes[outers[:-1]] = False
    # Each ring comes with its first point repeated at the end.
    kept = np.ones(len(points), dtype=np.bool_)
    kept[starts[1:] - 1] = False
    return Rings(points[kept], starts - np.arange(len(starts)), holes)


def drop_specks(rings: Rings, least_area: float) -> tuple[Rings, int]:
    """Return the rings without those that enclose less than ``least_area`` square pixels, and how many went.

    A hole goes with the ring that holds it.
    """
    small = (rings.areas < least_area) | (rings.counts < 3)
    outer = np.maximum.accumulate(np.where(rings.holes, 0, np.arange(len(small))))
    gone = small | small[outer] if len(small) else small
    return rings.only(~gone), int(small.sum())


def spread_evenly(rings: Rings, step: float = 1.0) -> Rings:
    """Return the rings with points at equal distances of about ``step`` pixels, at least 8 a ring."""
    if not len(rings.counts):
        return rings
    ahead = rings.points[rings.neighbours(1)]
    gaps = np.hypot(*(ahead - rings.points).T)
    travelled = np.concatenate([[0.0], np.cumsum(gaps)])
    begin, end = travelled[rings.starts[:-1]], travelled[rings.starts[1:]]
    counts = np.maximum(8, np.rint((end - begin) / step)).astype(np.intp)
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.intp)
    place = (np.arange(starts[-1]) - np.repeat(starts[:-1], counts)) / np.repeat(counts, counts)
    wanted = np.repeat(begin, counts) + place * np.repeat(end - begin, counts)
    at = np.clip(np.searchsorted(travelled, wanted, side="right") - 1, 0, len(gaps) - 1)
    # No ring ends between two samples of another: a sample never lies at or beyond its own ring's end.
    share = ((wanted - travelled[at]) / np.maximum(gaps[at], 1e-12))[:, None]
    return Rings(rings.points[at] * (1 - share) + ahead[at] * share, starts, rings.holes)
