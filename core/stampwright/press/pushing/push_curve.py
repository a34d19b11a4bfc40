"""How much of the face prints at which push, and what push is needed for it to print whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ...memory import Share
from ..inking.ink import InkFilm
from .pressing import MOST_STRAIN, Rig, push

WHOLE = 0.98
"""Share of the face that must print solid for the eye to take it as whole (common practice)."""

FORCES = (2.0, 5.0, 10.0, 20.0, 30.0, 40.0, 60.0, 80.0, 110.0, 150.0, 225.0, 300.0)
"""Pushes at which a curve is drawn unless told otherwise, N: from a touch to more than a body leans with."""

_CLOSE = 1.02
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
        shares.append(push(rig, force).printed_share(ink.solid_from))
    return PushCurve(bearable, tuple(shares), force_to_print(rig, ink))


def force_to_print(rig: Rig, ink: InkFilm, share: float = WHOLE) -> float | None:
    """Return the push that prints ``share`` of the face solid, N to within 2 %; None when none that it bears does.

    A face bears no push that compresses its relief by more than ``MOST_STRAIN`` anywhere.
    """
    low, high = LEAST_FORCE, min(rig.greatest_force, 1e5)
    if low >= high or push(rig, high).printed_share(ink.solid_from) < share:
        return None
    if push(rig, low).printed_share(ink.solid_from) >= share:
        return low
    # An even push that brings every place to the threshold is nearest: it brackets the answer from below.
    start = float(np.clip(ink.solid_from * rig.face.face_area * share, low, high))
    if push(rig, start).printed_share(ink.solid_from) >= share:
        high = start
    else:
        low = start
        while low * 2.0 < high and push(rig, low * 2.0).printed_share(ink.solid_from) < share:
            low *= 2.0
        high = min(high, low * 2.0)
    while high > low * _CLOSE:
        middle = (low * high) ** 0.5
        if push(rig, middle).printed_share(ink.solid_from) >= share:
            high = middle
        else:
            low = middle
    return high if push(rig, high).strain <= MOST_STRAIN else None
