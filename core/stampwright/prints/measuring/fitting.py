"""Figures fitted to how dark a face printed: approach, rises and bow, and how surely the print tells them."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ...press.inking.ink import SOLID
from .tones import FaceTones
from .unevenness import Belief, InkField, weighed

Floats = NDArray[np.float64]

_ROUNDS = 60
_TURNS = 4  # in which the unevenness of ink is told anew
_SETTLED = 1e-3  # gain of a round, in likelihood, under which no other is worth it
_PATCH = 2.0  # mm: side of places that err alike, but for ink that changes more slowly
_DARKEST = 0.97  # of the darkest places: the lightest that solid ink is
_STRAY = 0.08  # of the paper's brightness: what is farther off counts as less
_BREAKS = -math.log(1.0 - SOLID)


class UnevenFit(NamedTuple):
    """Figures as they were fitted, (5,), their covariance, (5, 5), and what is left: less is likelier."""

    figures: Floats
    covariance: Floats
    cost: float


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
        patches = np.floor(tones.places / _PATCH).astype(np.int64)
        self._patches = np.unique(patches, axis=0, return_inverse=True)[1].reshape(-1)
        self._field = InkField.over(self._across, half)
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

    def settled(self, figures: Floats) -> UnevenFit:
        """Return fitted figures as they are with ink that may lie unevenly, and how surely the print tells them.

        Ink is darker here and lighter there by slow waves: they are fitted with the figures, held to as little as the
        print itself says. Places side by side err alike: noise counts as it is over patches.
        """
        ink, held = np.zeros(self._field.waves.shape[1]), self._field.usual()
        beliefs: list[Belief] = []
        for turn in range(_TURNS):
            noise = self._noise(figures, ink, patched=turn > 0)
            if turn:
                beliefs = list(self._field.beliefs(*self._normal(figures, ink, noise), ink))
                held = max(beliefs, key=lambda each: each.evidence).held
            figures, ink, cost = self._settle(figures, ink, noise, held)
        square, pull = self._normal(figures, ink, noise)
        step, covariance = weighed(list(self._field.beliefs(square, pull, ink)))
        if np.abs(step[:4]).max() < 0.5 * max(figures[0], 1e-4):
            figures = figures + step
        loose = square[5:, 5:] + np.diag(held)
        cost += 0.5 * float(np.linalg.slogdet(loose)[1] - np.log(held).sum() + len(self._seen) * math.log(noise))
        return UnevenFit(figures, covariance, cost)

    def _settle(self, figures: Floats, ink: Floats, noise: float, held: Floats) -> tuple[Floats, Floats, float]:
        """Return figures and waves of ink that fit best, and what is left (Levenberg-Marquardt)."""
        count, damping = len(figures), 1e-3
        cost = self._uneven_cost(figures, ink, noise, held)
        for _ in range(_ROUNDS // 2):
            square, pull = self._normal(figures, ink, noise)
            square[count:, count:] += np.diag(held)
            pull[count:] -= held * ink
            gain = 0.0
            while damping < 1e8:
                step = np.linalg.solve(square + damping * np.diag(np.diag(square) + 1e-9), pull)
                then = self._uneven_cost(figures + step[:count], ink + step[count:], noise, held)
                if then < cost:
                    gain, cost = cost - then, then
                    figures, ink = figures + step[:count], ink + step[count:]
                    damping = max(damping / 5, 1e-9)
                    break
                damping *= 8
            if gain < _SETTLED:
                break
        return figures, ink, cost

    def _shown(self, figures: Floats, ink: Floats) -> tuple[Floats, Floats, Floats]:
        """Return how bare places stay, how much more ink than elsewhere they have, and how dark they print, (n,)."""
        bare = np.exp(-np.maximum(self._come(figures), 0.0) / self._springs)
        laid = 1.0 + self._field.waves @ ink
        return bare, laid, figures[4] * (1.0 - bare) * laid

    def _normal(self, figures: Floats, ink: Floats, noise: float) -> tuple[Floats, Floats]:
        """Return the normal equations of figures and waves of ink, by the variance of the noise."""
        bare, laid, shown = self._shown(figures, ink)
        steep = np.where(self._come(figures) > 0.0, figures[4] * bare / self._springs, 0.0) * laid
        slope = np.column_stack(
            (
                steep,
                steep[:, None] * self._across,
                -steep * self._fall,
                (1.0 - bare) * laid,
                (figures[4] * (1.0 - bare))[:, None] * self._field.waves,
            )
        )
        off = self._seen - shown
        weights = self._weights * np.minimum(1.0, _STRAY / np.maximum(np.abs(off), 1e-12)) / noise
        square, pull = slope.T @ (weights[:, None] * slope), slope.T @ (weights * off)
        hold, lacks = self._tied(figures)
        if lacks:
            square[4, 4] += hold**2 / noise
            pull[4] -= hold**2 * lacks / noise
        return square, pull

    def _uneven_cost(self, figures: Floats, ink: Floats, noise: float, held: Floats) -> float:
        off = np.abs(self._seen - self._shown(figures, ink)[2])
        near = np.minimum(off, _STRAY)
        hold, lacks = self._tied(figures)
        left = float((self._weights * near * (2.0 * off - near)).sum()) + (hold * lacks) ** 2
        return 0.5 * (left / noise + float((held * ink * ink).sum()))

    def _noise(self, figures: Floats, ink: Floats, *, patched: bool) -> float:
        """Return the variance of what no figure and no wave explains, as it counts over patches."""
        off = self._seen - self._shown(figures, ink)[2]
        weights = self._weights * np.minimum(1.0, _STRAY / np.maximum(np.abs(off), 1e-12))
        single = max(float((weights * off * off).sum() / len(off)), 1e-8)
        if not patched:
            return 2.0 * single
        sums, counts = np.bincount(self._patches, weights * off), np.bincount(self._patches, weights)
        return max(single, float(np.mean(sums**2 / np.maximum(counts, 1e-9))))

    def left(self, figures: Floats) -> float:
        """Return what is left unexplained, of the darkness."""
        return float(np.sqrt(np.mean(self._linear(figures)[0][:-1] ** 2)))

    def _tied(self, figures: Floats) -> tuple[float, float]:
        """Return how strongly solid ink is held, and by how much it lies beyond where it may.

        It is hardly lighter than the darkest places show, which ink that lies unevenly made a little darker.
        """
        lacks = min(figures[4] - _DARKEST * self._dark, 0.0) + max(figures[4] - 1.0, 0.0)
        return 0.3 * math.sqrt(len(self._seen)), float(lacks)

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
        held, lacks = self._tied(figures)
        off = np.append(off, held * lacks)
        slope = np.vstack((slope, (0.0, 0.0, 0.0, 0.0, held if lacks else 0.0)))
        weights = self._weighted(len(off)) * np.minimum(1.0, _STRAY / np.maximum(np.abs(off), 1e-12))
        return off, slope, weights
