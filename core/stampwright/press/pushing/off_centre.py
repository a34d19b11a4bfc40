"""How far off centre a stamp may be pushed before one side of it prints light."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np

from ...errors import PressError
from ...looks.numbers import newtons
from ...memory import Share
from ..inking.ink import InkFilm
from .pressing import PrintLook, Rig, look_at_print
from .push_curve import WHOLE

_DIRECTIONS = 8
_FINE = 0.5  # mm; no hand aims finer
_SIDES = ("right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right")


@dataclass(frozen=True)
class OffCentre:
    """How far off the centre of the face a push of ``force`` N may pass, whichever way, with all of it printing, mm.

    ``reach``: that distance; 0 when the face does not even print whole when pushed in the middle. ``toward``: the
    direction in which a push may stray least, degrees counter-clockwise on paper, 0 to the right.
    """

    force: float
    reach: float
    toward: float

    def __str__(self) -> str:
        """Say it in a sentence; the side that prints light is the one across from the push."""
        if self.reach <= 0.0:
            return f"Pushed with {newtons(self.force)} at its centre it does not print whole"
        across = _SIDES[round(self.toward / 360.0 * len(_SIDES) + len(_SIDES) / 2) % len(_SIDES)]
        return (
            f"Pushed with {newtons(self.force)} it prints whole up to {self.reach:.1f} mm off centre; beyond, its "
            f"{across} prints light first"
        )


def reach_off_centre(rig: Rig, ink: InkFilm, *, progress: Share | None = None) -> OffCentre | None:
    """Search how far off the centre of its die the push on a face that is set up may pass, to half a millimetre.

    Every step is solved again with the quick solver, in eight directions; a push that is more than the relief bears is
    held to that. None comes back for a stamp that is kept level: where it is pushed is then all the same.
    """
    if not rig.conditions.free:
        return None
    rig = rig.quick
    force = min(rig.conditions.force, rig.greatest_force)
    x, y = rig.face.middle
    directions = [step * 360.0 / _DIRECTIONS for step in range(_DIRECTIONS)]

    before: dict[float, PrintLook] = {}

    @cache
    def printed(distance: float, toward: float) -> float:
        turn = math.radians(toward)
        at = x + distance * math.cos(turn), y + distance * math.sin(turn)
        # A push farther out the same way turns the face on from there.
        start = before[toward].motion if toward in before else None
        try:
            before[toward] = look_at_print(rig, force, ink.solid_from, at=at, start=start)
        except PressError:
            # Past the edge of the face the stamp tips.
            return 0.0
        return before[toward].share

    def all_print(distance: float) -> bool:
        for toward in directions:
            if printed(distance, toward) < WHOLE:
                # What fails here is the likeliest to fail at the next distance.
                directions.remove(toward)
                directions.insert(0, toward)
                return False
        return True

    if printed(0.0, 0.0) < WHOLE:
        return OffCentre(force, 0.0, 0.0)
    width, height = float(np.ptp(rig.places.x)), float(np.ptp(rig.places.y))
    low, high = 0, math.ceil(math.hypot(width, height) / 2.0 / _FINE)
    rounds, left = 0, math.log2(max(high, 2))
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if all_print(middle * _FINE) else (low, middle)
        rounds += 1
        if progress is not None:
            progress(min(1.0, rounds / left))
    worst = min(directions, key=lambda toward: printed(high * _FINE, toward))
    return OffCentre(force, low * _FINE, worst)
