"""How much of the face prints at which push, and what push is needed for it to print whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...memory import Share
from ..inking.ink import InkFilm
from .pressing import MOST_STRAIN, Rig, look_at_print

WHOLE = 0.98
"""Share of the face that must print solid for the eye to take it as whole (common practice)."""

FORCES = (2.0, 5.0, 10.0, 20.0, 30.0, 40.0, 60.0, 80.0, 110.0, 150.0, 225.0, 300.0)
"""Pushes at which a curve is drawn unless told otherwise, N: from a touch to more than a body leans with."""

_CLOSE = 1.02
_STEP = 1.01  # of which two lie between pushes that are close
_NUDGE = 1.006  # beyond the push that would do, so that it comes to lie between two that were looked at
_MOST_NUDGED = 8  # tries; after that, halving is surer
LEAST_FORCE = 0.5  # N; a stamp's own weight


@dataclass(frozen=True)
class PushCurve:
    """Share of the face that prints solid (0 to 1) at each of ``forces`` N; ``whole_at``: push for ``WHOLE``, N.

    ``whole_at`` is None when no push that the relief can bear prints the face whole.
    """

    forces: tuple[float, ...]
    shares: tuple[float, ...]
    whole_at: float | None


def push_curve(rig: Rig, ink: InkFilm, *, forces: Sequence[float] = FORCES, progress: Share | None = None) -> PushCurve:
    """Press a face that is set up with each force in turn; forces beyond what its relief bears are left out."""
    bearable = tuple(force for force in forces if force <= rig.greatest_force)
    shares = []
    for done, force in enumerate(bearable):
        if progress is not None:
            progress(done / (len(bearable) + 1))
        shares.append(look_at_print(rig, force, ink.solid_from).share)
    return PushCurve(bearable, tuple(shares), force_to_print(rig, ink))


def force_to_print(rig: Rig, ink: InkFilm, share: float = WHOLE) -> float | None:
    """Return the push that prints ``share`` of the face solid, N to within 2 %; None when none that it bears does.

    A face bears no push that compresses its relief by more than ``MOST_STRAIN`` anywhere. Every push that is looked at
    tells which one would do if the face did not turn any further, and so the next two close in on the answer.
    """
    low, most = LEAST_FORCE, min(rig.greatest_force, 1e5)
    if low >= most:
        return None
    high, enough, start = most, None, None
    # The push of the job is mostly nearer to the answer than the most that the relief bears, and far less work.
    tried, tries = min(max(rig.conditions.force, low * _STEP), most), 0
    while enough is None or high > low * _CLOSE:
        seen = look_at_print(rig, tried, ink.solid_from, wanted=share, start=start)
        if seen.share >= share:
            high, enough = tried, seen
        elif tried >= most:
            return None
        else:
            low = tried
        nudge = _NUDGE if seen.share < share else 1.0 / _NUDGE
        nearest = None if tries >= _MOST_NUDGED else seen.nearest
        if enough is None:
            tried = most if nearest is None else min(nearest * nudge, most)
        else:
            tried = (low * high) ** 0.5 if nearest is None else min(max(nearest * nudge, low * _STEP), high / _STEP)
        start, tries = seen.motion, tries + 1
    return high if enough.strain <= MOST_STRAIN else None
