"""A height map of the face, in the paper frame."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ..errors import SolidError

Points = NDArray[np.float64]
FaceHeights = NDArray[np.float32]

Bounds = tuple[float, float, float, float]
"""Left, bottom, right and top, mm."""

MOST_SAMPLES = 40_000_000
"""Samples of a face: four bytes each in its map, and some ten times that while it is worked on."""


@dataclass(frozen=True, eq=False)
class FaceMap:
    """Heights of a face over the face as printed.

    ``heights``: (rows, columns) float32, mm, 0 where the face is untouched and negative where it is lower, the lowest
    row first. ``corner``: x and y, mm, paper frame, of the lower left corner of the lower left sample's cell, so that
    the sample itself lies half a spacing right of it and above. ``spacing``: mm from sample to sample. Between samples
    heights are bilinear; outside the map the face is untouched.
    """

    heights: FaceHeights
    corner: tuple[float, float]
    spacing: float

    def __eq__(self, other: object) -> bool:
        """Whether the other is a map with the same samples, so that what was made from one need not be made again."""
        if not isinstance(other, FaceMap):
            return NotImplemented
        return (self.corner, self.spacing) == (other.corner, other.spacing) and np.array_equal(
            self.heights, other.heights
        )

    def __hash__(self) -> int:
        """Return a number that equal maps share."""
        return hash((self.heights.shape, self.corner, self.spacing))

    @property
    def bounds(self) -> Bounds:
        """Left, bottom, right and top of all cells, mm, paper frame."""
        rows, columns = self.heights.shape
        left, bottom = self.corner
        return left, bottom, left + columns * self.spacing, bottom + rows * self.spacing

    @property
    def samples(self) -> Points:
        """Where the samples are, (rows * columns, 2) mm, paper frame, row by row."""
        x, y = (at + (np.arange(count) + 0.5) * self.spacing for at, count in self._axes())
        return np.column_stack((np.tile(x, len(y)), np.repeat(y, len(x))))

    def steps(self, places: Points) -> Points:
        """Return ``places``, (n, 2) mm, in columns and rows from the lower left sample."""
        return (places - self.corner) / self.spacing - 0.5

    def at(self, places: Points) -> FaceHeights:
        """Return the heights, (n,) mm, at ``places``, (n, 2) mm, paper frame."""
        rows, columns = self.heights.shape
        # A rim of untouched face all round: heights fade within one spacing outside of the samples.
        rimmed, width = np.pad(self.heights, 1).reshape(-1), columns + 2
        steps = self.steps(places) + 1.0
        x, y = np.clip(steps[:, 0], 0.0, columns + 0.999999), np.clip(steps[:, 1], 0.0, rows + 0.999999)
        column, row = x.astype(np.intp), y.astype(np.intp)
        right, up = (x - column).astype(np.float32), (y - row).astype(np.float32)
        first = row * width + column
        lower = rimmed[first] + right * (rimmed[first + 1] - rimmed[first])
        upper = rimmed[first + width] + right * (rimmed[first + width + 1] - rimmed[first + width])
        found: FaceHeights = lower + up * (upper - lower)
        return found

    def shares(self, places: Points) -> tuple[NDArray[np.intp], NDArray[np.float64]]:
        """Return which samples make up the heights at ``places``, (4, n) numbers row by row, and by what shares.

        The places must lie between samples.
        """
        steps = self.steps(places)
        first = np.floor(steps).astype(np.intp)
        right, up = (steps - first).T
        columns = self.heights.shape[1]
        number = first[:, 1] * columns + first[:, 0]
        corners = np.stack((number, number + 1, number + columns, number + columns + 1))
        shares = np.stack(((1 - right) * (1 - up), right * (1 - up), (1 - right) * up, right * up))
        return corners, shares

    def covering(self, bounds: Bounds) -> FaceMap:
        """Return the map with untouched samples added round it, if need be, so that it covers ``bounds``."""
        left, bottom, right, top = (
            max(0, math.ceil(short / self.spacing - 1e-6))
            for short in (
                self.bounds[0] - bounds[0],
                self.bounds[1] - bounds[1],
                bounds[2] - self.bounds[2],
                bounds[3] - self.bounds[3],
            )
        )
        return replace(
            self,
            heights=np.pad(self.heights, ((bottom, top), (left, right))),
            corner=(self.corner[0] - left * self.spacing, self.corner[1] - bottom * self.spacing),
        )

    def _axes(self) -> tuple[tuple[float, int], tuple[float, int]]:
        rows, columns = self.heights.shape
        return (self.corner[0], columns), (self.corner[1], rows)


def untouched(bounds: Bounds, spacing: float) -> FaceMap:
    """Return a map of an untouched face over ``bounds``, mm, its samples on whole ``spacing`` from the origin.

    Raises :class:`~stampwright.errors.SolidError` when that would be more samples than a face may have.

    >>> untouched((-1.0, -1.0, 1.0, 1.0), 0.5).heights.shape
    (5, 5)
    """
    left, bottom = (math.floor(at / spacing + 0.5) for at in bounds[:2])
    right, top = (math.ceil(at / spacing - 0.5) for at in bounds[2:])
    if (top - bottom + 1) * (right - left + 1) > MOST_SAMPLES:
        across, along = bounds[2] - bounds[0], bounds[3] - bounds[1]
        raise SolidError(
            f"ink of {across:.0f} x {along:.0f} mm is too large for a face with a texture or a sculpt; "
            "size the artwork by its base, or take texture and sculpt off"
        )
    heights = np.zeros((top - bottom + 1, right - left + 1), dtype=np.float32)
    return FaceMap(heights, ((left - 0.5) * spacing, (bottom - 0.5) * spacing), spacing)
