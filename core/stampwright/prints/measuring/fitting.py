"""Figures fitted to how dark a face printed: approach, rises and bow, and how surely the print tells them."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from ...press.inking.ink import SOLID
from .tones import FaceTones

Floats = NDArray[np.float64]

BLOCK = 5.0
"""Side of places that err alike, mm."""

_ROUNDS = 60
_UNEVEN = 0.0005  # of its darkness, by which ink varies slowly over the most even prints
_SIDEWAYS = 5  # slow changes that a rise or bow may be taken for
_STRAY = 0.08  # of the paper's brightness: what is farther off counts as less
_BREAKS = -math.log(1.0 - SOLID)


class ToneFit:
    """Five figures to be fitted: approach, rises right and up over half the side, bow, all mm, and the darkest tone."""

    def __init__(
        self, tones: FaceTones, springs: Floats, fall: Floats, half: float, *, solid_from: float, dark: float
    ) -> None:
        self._seen = tones.darkness
        self._springs = springs * solid_from / _BREAKS
        self._across = tones.places / half
        self._fall = fall
        self._dark = dark
        self._weights = tones.looks / tones.looks.mean()
        blocks = np.floor(tones.places / BLOCK).astype(np.int64)
        self._blocks = np.unique(blocks, axis=0, return_inverse=True)[1].reshape(-1)
        x, y = self._across.T
        slow = np.stack((x, y, x * y, x * x - y * y, x * x + y * y, x**3, y**3, x * x * y, x * y * y), axis=-1)
        slow -= slow.mean(axis=0)
        self._slow = slow / slow.std(axis=0)
        self.side = 2.0 * half

    def solved(self, bow: float) -> tuple[Floats, float]:
        """Return the figures that fit best from a first guess of the bow, and the error left (Levenberg-Marquardt)."""
        # As much approach as the middle tone shows.
        share = np.clip(np.median(self._seen) / (1.02 * self._dark), 0.05, 0.97)
        approach = float(np.median(self._springs) * -math.log(1.0 - share)) + max(bow, 0.0) / 2
        figures = np.array([approach, 0.0, 0.0, bow, self._dark])
        damping, cost = 1e-2, self._cost(figures)
        for _ in range(_ROUNDS):
            off, slope, weights = self._linear(figures)
            square = slope.T @ (weights[:, None] * slope)
            pull = slope.T @ (weights * off)
            step = np.linalg.lstsq(square + damping * np.diag(np.diag(square) + 1e-12), -pull, rcond=None)[0]
            then = self._cost(figures + step)
            if then < cost:
                gain = 1.0 - then / cost
                figures, cost, damping = figures + step, then, damping / 4
                if gain < 1e-7:
                    break
            else:
                damping *= 6
                if damping > 1e8:
                    break
        return figures, cost

    def errors(self, figures: Floats) -> Floats:
        """Return the standard errors of fitted figures, of which neighbouring places tell alike.

        The sandwich of H. White (1980) over blocks of places (from memory): what light, paper and ink do to one place
        they do to those beside it. Beside it, ink that lies unevenly from side to side, as far as what the fit leaves
        shows it, and no less than prints are wont to.
        """
        off, slope, weights = self._linear(figures)
        inverse = np.linalg.pinv(slope.T @ (weights[:, None] * slope))
        pulls = (weights * off)[:, None] * slope
        sums = np.stack([np.bincount(self._blocks, pull) for pull in pulls[:-1].T], axis=-1)
        slow = self._slow
        shares = np.linalg.lstsq(slow, off[:-1], rcond=None)[0]
        # Five figures were fitted to nine slow changes: of what each may have, hardly a half is left to be seen.
        uneven = max(1.5 * float(np.sqrt(np.mean((slow @ shares) ** 2))), _UNEVEN * float(figures[4]))
        moved = inverse @ (slope[:-1].T @ (weights[:-1, None] * slow[:, :_SIDEWAYS])) * uneven
        square = inverse @ (sums.T @ sums) @ inverse + moved @ moved.T
        return np.asarray(np.sqrt(np.maximum(np.diag(square), 0.0)))

    def left(self, figures: Floats) -> float:
        """Return what is left unexplained, of the darkness."""
        return float(np.sqrt(np.mean(self._linear(figures)[0][:-1] ** 2)))

    def _come(self, figures: Floats) -> Floats:
        return np.asarray(figures[0] + self._across @ figures[1:3] - figures[3] * self._fall)

    def _cost(self, figures: Floats) -> float:
        off, _, _ = self._linear(figures)
        near = np.minimum(np.abs(off), _STRAY)
        return float((self._weighted(len(off)) * near * (2.0 * np.abs(off) - near)).sum())

    def _weighted(self, count: int) -> Floats:
        return np.append(self._weights, np.ones(count - len(self._weights)))

    def _linear(self, figures: Floats) -> tuple[Floats, Floats, Floats]:
        """Return how far tones are off, how that changes with each figure, and how much each place counts.

        Dust, smears and holes count little (P. J. Huber, 1964).
        """
        come = self._come(figures)
        bare = np.exp(-np.maximum(come, 0.0) / self._springs)
        steep = np.where(come > 0.0, figures[4] * bare / self._springs, 0.0)
        slope = np.column_stack((steep, steep[:, None] * self._across, -steep * self._fall, 1.0 - bare))
        off = figures[4] * (1.0 - bare) - self._seen
        # Solid ink is no lighter than the darkest places show.
        held = np.sqrt(len(off)) * 0.3
        lacks = min(figures[4] - self._dark, 0.0) + max(figures[4] - 1.0, 0.0)
        off = np.append(off, held * lacks)
        slope = np.vstack((slope, (0.0, 0.0, 0.0, 0.0, held if lacks else 0.0)))
        weights = self._weighted(len(off)) * np.minimum(1.0, _STRAY / np.maximum(np.abs(off), 1e-12))
        return off, slope, weights
