"""A height map of the face, in the paper frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
Heights = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class FaceMap:
    """Heights of a face over the face as printed.

    ``heights``: (rows, columns) float32, mm, 0 where the face is untouched and negative where it is lower, the lowest
    row first. ``corner``: x and y, mm, paper frame, of the lower left corner of the lower left sample's cell, so that
    the sample itself lies half a spacing right of it and above. ``spacing``: mm from sample to sample. Between samples
    heights are bilinear; outside the map the face is untouched.
    """

    heights: Heights
    corner: tuple[float, float]
    spacing: float

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of all cells, mm, paper frame."""
        rows, columns = self.heights.shape
        left, bottom = self.corner
        return left, bottom, left + columns * self.spacing, bottom + rows * self.spacing

    def at(self, places: Points) -> Heights:
        """Return the heights, (n,) mm, at ``places``, (n, 2) mm, paper frame."""
        rows, columns = self.heights.shape
        # A rim of untouched face all round, so that heights fade within one spacing outside of the samples.
        rimmed = np.pad(self.heights, 1)
        x = np.clip((places[:, 0] - self.corner[0]) / self.spacing + 0.5, 0.0, columns + 0.999999)
        y = np.clip((places[:, 1] - self.corner[1]) / self.spacing + 0.5, 0.0, rows + 0.999999)
        column, row = x.astype(np.intp), y.astype(np.intp)
        right, up = (x - column).astype(np.float32), (y - row).astype(np.float32)
        flat, first = rimmed.reshape(-1), row * (columns + 2) + column
        lower = flat[first] + right * (flat[first + 1] - flat[first])
        upper = flat[first + columns + 2] + right * (flat[first + columns + 3] - flat[first + columns + 2])
        found: Heights = lower + up * (upper - lower)
        return found
