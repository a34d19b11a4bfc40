"""What the reckoning assumes, how far each assumption may be off, and what that does to the result."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from ..contact.bounded import Progress
from ..contact.layers import Layer
from ..inking.ink import InkFilm, spread_past_edge
from ..types import HeightMap
from .conditions import PressConditions
from .press_curve import force_to_print
from .pressing import set_up
from .stiffness import ModulusRange

Setting = tuple[PressConditions, InkFilm]


@dataclass(frozen=True)
class Assumption:
    """A figure that nobody has measured: its ``value`` and likely span in ``unit``, and where that comes from.

    ``set_to`` returns conditions and ink with another value of it.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    basis: str
    set_to: Callable[[Setting, float], Setting]


@dataclass(frozen=True)
class Sensitivity:
    """What an assumption does: the push to print whole, N, and the creep of ink on a 1 mm line, mm, at its ends.

    None for a push stands for a face that no push prints whole.
    """

    assumption: Assumption
    force_low: float | None
    force_high: float | None
    creep_low: float
    creep_high: float

    def __str__(self) -> str:
        about = self.assumption
        forces = " to ".join(
            "none" if force is None else f"{force:.0f} N" for force in (self.force_low, self.force_high)
        )
        return (
            f"{about.name} {about.value:.3g} {about.unit} ({about.low:.3g} to {about.high:.3g}, {about.basis}): "
            f"prints whole at {forces}; creeps {self.creep_low:.2f} to {self.creep_high:.2f} mm"
        )


def assumptions(conditions: PressConditions, ink: InkFilm, die: ModulusRange) -> tuple[Assumption, ...]:
    """Return what a press with these conditions assumes; ``die`` is the span of the solid die material's modulus."""
    bedding = conditions.bedding[0] if conditions.bedding else Layer(0.1, 20.0, 0.1)
    listed = [
        Assumption(
            "die modulus", conditions.young, die.low, die.high, "MPa", "span of three hardness relations", _with_die
        ),
        Assumption("modulus of paper and bedding", bedding.young, 5.0, 50.0, "MPa", "assumed", _with_bedding_modulus),
        Assumption(
            "thickness of paper and bedding", bedding.thickness, 0.1, 5.0, "mm", "one sheet to a pad", _with_bedding
        ),
        Assumption("ink threshold", ink.threshold, 0.005, 0.1, "MPa", "assumed", _with_threshold),
        Assumption("ink film", ink.film, 0.005, 0.02, "mm", "assumed", _with_film),
    ]
    if conditions.infill < 1.0:
        # The middle taken is E infill^1.5; these shares give E infill² and E infill by the same formula.
        low, high = conditions.infill ** (4.0 / 3.0), conditions.infill ** (2.0 / 3.0)
        basis = "cells that bend to walls that stand (Gibson and Ashby)"
        listed.append(Assumption("infill as it works", conditions.infill, low, high, "share", basis, _with_infill))
    return tuple(listed)


def sensitivities(
    face: HeightMap,
    conditions: PressConditions,
    ink: InkFilm,
    die: ModulusRange,
    *,
    progress: Progress | None = None,
) -> tuple[Sensitivity, ...]:
    """Solve again at both ends of every assumption; the quick solver is used throughout."""
    base = replace(conditions, solver="foundation")
    listed = assumptions(base, ink, die)
    found = []
    for done, about in enumerate(listed):
        if progress is not None:
            progress(done / len(listed))
        (force_low, creep_low), (force_high, creep_high) = (
            _outcome(face, about.set_to((base, ink), end)) for end in (about.low, about.high)
        )
        found.append(Sensitivity(about, force_low, force_high, creep_low, creep_high))
    return tuple(found)


def _outcome(face: HeightMap, setting: Setting) -> tuple[float | None, float]:
    conditions, ink = setting
    force = force_to_print(set_up(face, conditions), ink)
    mean = np.array([conditions.force / face.face_area])
    return force, float(spread_past_edge(mean, np.ones(1), ink)[0])


def _with_die(setting: Setting, young: float) -> Setting:
    return replace(setting[0], young=young), setting[1]


def _with_infill(setting: Setting, infill: float) -> Setting:
    return replace(setting[0], infill=infill), setting[1]


def _with_bedding_modulus(setting: Setting, young: float) -> Setting:
    layers = tuple(replace(layer, young=young) for layer in setting[0].bedding)
    return replace(setting[0], bedding=layers), setting[1]


def _with_bedding(setting: Setting, thickness: float) -> Setting:
    layers = tuple(replace(layer, thickness=thickness) for layer in setting[0].bedding)
    return replace(setting[0], bedding=layers), setting[1]


def _with_threshold(setting: Setting, threshold: float) -> Setting:
    return setting[0], replace(setting[1], threshold=threshold)


def _with_film(setting: Setting, film: float) -> Setting:
    return setting[0], replace(setting[1], film=film)
