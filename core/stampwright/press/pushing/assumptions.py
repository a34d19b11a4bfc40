"""What the reckoning assumes, how far each assumption may be off, and what that does to the result."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from ...job.sections.pressing import InkSection
from ...memory import Share
from ..contact.layers import Layer
from ..impression import HeightMap
from ..inking.ink import InkFilm, ink_of, spread_past_edge
from ..inking.ink_pad import ink_die, ink_pad
from .conditions import PressConditions
from .press_curve import force_to_print
from .pressing import set_up
from .stiffness import ModulusRange


@dataclass(frozen=True)
class Setting:
    """What a stamp is pressed and inked with: ``pad`` is the ink pad, on which the die is dabbed with ``dab`` N."""

    conditions: PressConditions
    ink: InkFilm
    pad: Layer
    dab: float


@dataclass(frozen=True)
class Assumption:
    """A figure that nobody has measured: its ``value`` and likely span in ``unit``, and where that comes from.

    ``set_to`` returns a setting with another value of it.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    basis: str
    set_to: Callable[[Setting, float], Setting]


@dataclass(frozen=True)
class Outcome:
    """What comes of a setting: the push to print whole, N, the creep of ink on a 1 mm line and the pad's sag, mm.

    None for the push stands for a face that no push prints whole.
    """

    force: float | None
    creep: float
    sag: float


@dataclass(frozen=True)
class Sensitivity:
    """What an assumption does: what comes of the ``low`` end of its span, and of the ``high`` end."""

    assumption: Assumption
    low: Outcome
    high: Outcome

    def __str__(self) -> str:
        """Say what changes with it; what does not is left out, but for the push."""
        about, low, high = self.assumption, self.low, self.high
        told = []
        if low.force != high.force or (low.creep, low.sag) == (high.creep, high.sag):
            forces = ("none" if force is None else f"{force:.0f} N" for force in (low.force, high.force))
            told.append(f"prints whole at {' to '.join(forces)}")
        if low.creep != high.creep:
            told.append(f"ink creeps {low.creep:.2f} to {high.creep:.2f} mm")
        if low.sag != high.sag:
            told.append(f"the ink pad sags {low.sag:.2f} to {high.sag:.2f} mm")
        return (
            f"{about.name} {about.value:.3g} {about.unit} ({about.low:.3g} to {about.high:.3g}, {about.basis}): "
            f"{'; '.join(told)}"
        )


def setting_of(conditions: PressConditions, ink: InkSection) -> Setting:
    """Return the setting of a press under these conditions with this ink."""
    return Setting(conditions, ink_of(ink), ink_pad(ink), ink.pad_force)


def assumptions(setting: Setting, die: ModulusRange) -> tuple[Assumption, ...]:
    """Return what a press with this setting assumes; ``die`` is the span of the solid die material's modulus."""
    conditions, ink = setting.conditions, setting.ink
    bedding = conditions.bedding[0] if conditions.bedding else Layer(0.1, 20.0, 0.1)
    listed = [
        Assumption(
            "die modulus", conditions.young, die.low, die.high, "MPa", "span of three hardness relations", _with_die
        ),
        Assumption("modulus of paper and bedding", bedding.young, 5.0, 50.0, "MPa", "assumed", _with_bedding_modulus),
        Assumption(
            "thickness of paper and bedding", bedding.thickness, 0.1, 5.0, "mm", "one sheet to a pad", _with_bedding
        ),
        Assumption("ink threshold", ink.solid_from, 0.005, 0.1, "MPa", "assumed", _with_threshold),
        Assumption("ink film", ink.film, 0.005, 0.02, "mm", "assumed", _with_film),
        Assumption("modulus of the ink pad", setting.pad.young, 0.1, 1.0, "MPa", "felt or foam, assumed", _with_pad),
    ]
    if conditions.cushion is not None:
        young, basis = conditions.cushion.young, "cellular rubber, assumed"
        listed.append(Assumption("modulus of the cushion", young, 0.2, 2.0, "MPa", basis, _with_cushion))
    if conditions.infill < 1.0:
        # The middle taken is E infill^1.5; these shares give E infill² and E infill by the same formula.
        low, high = conditions.infill ** (4.0 / 3.0), conditions.infill ** (2.0 / 3.0)
        basis = "cells that bend to walls that stand (Gibson and Ashby)"
        listed.append(Assumption("infill as it works", conditions.infill, low, high, "share", basis, _with_infill))
    return tuple(listed)


def sensitivities(
    face: HeightMap, setting: Setting, die: ModulusRange, *, progress: Share | None = None
) -> tuple[Sensitivity, ...]:
    """Solve again at both ends of every assumption; the quick solver is used throughout."""
    base = replace(setting, conditions=replace(setting.conditions, solver="quick"))
    listed = assumptions(base, die)
    known: dict[object, float | None] = {}
    found = []
    for done, about in enumerate(listed):
        if progress is not None:
            progress(done / len(listed))
        low, high = (_outcome(face, about.set_to(base, end), known) for end in (about.low, about.high))
        found.append(Sensitivity(about, low, high))
    return tuple(found)


def _outcome(face: HeightMap, setting: Setting, known: dict[object, float | None]) -> Outcome:
    """Return what comes of a setting; ``known`` keeps what was solved before, as most of it does not change."""
    conditions, ink = setting.conditions, setting.ink
    pressed_by = (conditions, ink.solid_from)
    if pressed_by not in known:
        known[pressed_by] = force_to_print(set_up(face, conditions), ink)
    dabbed_by = (setting.pad, setting.dab)
    if dabbed_by not in known:
        known[dabbed_by] = ink_die(face, setting.pad, setting.dab).sag
    mean = np.array([conditions.force / face.face_area])
    creep = float(spread_past_edge(mean, np.ones(1), ink)[0])
    return Outcome(known[pressed_by], creep, max(known[dabbed_by] or 0.0, 0.0))


def _with_die(setting: Setting, young: float) -> Setting:
    return _under(setting, young=young)


def _with_infill(setting: Setting, infill: float) -> Setting:
    return _under(setting, infill=infill)


def _with_bedding_modulus(setting: Setting, young: float) -> Setting:
    return _under(setting, bedding=tuple(replace(layer, young=young) for layer in setting.conditions.bedding))


def _with_bedding(setting: Setting, thickness: float) -> Setting:
    return _under(setting, bedding=tuple(replace(layer, thickness=thickness) for layer in setting.conditions.bedding))


def _with_cushion(setting: Setting, young: float) -> Setting:
    cushion = setting.conditions.cushion
    return setting if cushion is None else _under(setting, cushion=replace(cushion, young=young))


def _with_threshold(setting: Setting, threshold: float) -> Setting:
    return replace(setting, ink=replace(setting.ink, solid_from=threshold))


def _with_film(setting: Setting, film: float) -> Setting:
    return replace(setting, ink=replace(setting.ink, film=film))


def _with_pad(setting: Setting, young: float) -> Setting:
    return replace(setting, pad=replace(setting.pad, young=young))


def _under(setting: Setting, **changes: object) -> Setting:
    """Return the setting under changed conditions."""
    return replace(setting, conditions=replace(setting.conditions, **changes))  # type: ignore[arg-type]
