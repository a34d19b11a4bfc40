"""Ink that lies unevenly over a face, slowly from place to place: by how much, and over what lengths, a print says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_MOST_WAVES = 7  # half waves from side to side of the face
_LENGTHS = (3.0, 5.0, 8.0, 13.0)  # mm, over which ink may change
_SHARES = tuple(np.geomspace(0.0005, 0.08, 12).tolist())  # of its darkness, by which it may: from even to blotched
_NONE = 1e-6  # of the strongest wave: what is weaker is none


class Belief(NamedTuple):
    """What one kind of unevenness makes of a fit: how likely it is, and by what figures then move, how surely.

    ``evidence``: logarithm of its likelihood, whatever the figures; ``step``: (figures,); ``covariance``: (figures,
    figures); ``held``: (waves,), how strongly each wave of ink is held to none.
    """

    evidence: float
    step: Floats
    covariance: Floats
    held: Floats


@dataclass(frozen=True, eq=False)
class InkField:
    """Waves of ink over a face, (n, waves), at n places, and the squares of their numbers to the mm, (waves,)."""

    waves: Floats
    squares: Floats

    @classmethod
    def over(cls, across: Floats, half: float) -> InkField:
        """Return the waves at places ``across``, (n, 2), shares of half the face's side, ``half`` mm."""
        along = [np.cos(np.pi * count * (across + 1.0) / 2.0) for count in range(_MOST_WAVES + 1)]
        counts = [
            (right, up)
            for right in range(_MOST_WAVES + 1)
            for up in range(_MOST_WAVES + 1)
            if 0 < right * right + up * up <= _MOST_WAVES**2
        ]
        waves = np.stack([along[right][:, 0] * along[up][:, 1] for right, up in counts], axis=-1)
        squares = (np.array(counts, dtype=np.float64) ** 2).sum(axis=1) * (np.pi / (2.0 * half)) ** 2
        return cls(waves, squares)

    def held(self, length: float, share: float) -> Floats:
        """Return how strongly waves are held to none, where ink changes by a share over a length, mm, (waves,)."""
        strength = np.exp(-self.squares * length * length / 2.0)
        strength = np.maximum(strength / strength.sum(), _NONE)
        return np.asarray(1.0 / (share * share * strength))

    def usual(self) -> Floats:
        """Return how strongly waves are held before a print has said anything."""
        return self.held(_LENGTHS[1], 0.01)

    def beliefs(self, square: Floats, pull: Floats, ink: Floats) -> Iterator[Belief]:
        """Yield what every kind of unevenness makes of a fit (D. J. C. MacKay, 1992; from memory).

        ``square`` and ``pull``: normal equations of figures and waves, (m, m) and (m,), by the variance of the noise;
        the last of the m are waves, of which ``ink`` has so much now.
        """
        count = len(pull) - len(ink)
        for length in _LENGTHS:
            for share in _SHARES:
                held = self.held(length, share)
                whole, left = square.copy(), pull.copy()
                whole[range(count, len(pull)), range(count, len(pull))] += held
                left[count:] -= held * ink
                # No approach, rise or bow is near a millimetre: so far are they known where the print says nothing.
                whole[np.diag_indices(count)] += 1.0
                inverse = np.asarray(np.linalg.inv(whole), dtype=np.float64)
                step = inverse @ left
                sure = float(np.linalg.slogdet(whole)[1] - np.log(held).sum())
                evidence = 0.5 * (float(left @ step) - sure - float((held * ink * ink).sum()))
                yield Belief(evidence, step[:count], inverse[:count, :count], held)


def weighed(beliefs: list[Belief]) -> tuple[Floats, Floats]:
    """Return the step and covariance of figures, each kind of unevenness counting as it is likely."""
    evidence = np.array([each.evidence for each in beliefs])
    shares = np.exp(evidence - evidence.max())
    shares /= shares.sum()
    steps = np.array([each.step for each in beliefs])
    step = shares @ steps
    off = steps - step
    covariance = np.einsum("b,bij->ij", shares, np.array([each.covariance for each in beliefs]))
    return step, covariance + np.einsum("b,bi,bj->ij", shares, off, off)
