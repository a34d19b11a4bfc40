"""What the reckoning assumes, how far each assumption may be off, and what that does to the result."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from ...job.made_from import Measured
from ...job.sections.pressing import InkSection
from ...looks.numbers import newtons, percent
from ...memory import Share
from ..contact.layers import Layer
from ..inking.ink import InkFilm, ink_of, spread_past_edge
from ..inking.ink_pad import ink_die, ink_pad
from .conditions import PressConditions
from .pressing import Rig, set_up
from .push_curve import force_to_print
from .stiffness import ModulusRange


@dataclass(frozen=True)
class Circumstances:
    """What a stamp is pressed and inked with: ``pad`` is the ink pad, on which the die is dabbed with ``dab`` N.

    ``measured``: settings that were measured, by path.
    """

    conditions: PressConditions
    ink: InkFilm
    pad: Layer
    dab: float
    measured: Mapping[str, Measured] = field(default_factory=dict)


@dataclass(frozen=True)
class Assumption:
    """A figure that nobody has measured: its ``value`` and likely span in ``unit``, and where that comes from.

    ``set_to`` returns a circumstances with another value of it.
    """

    name: str
    value: float
    low: float
    high: float
    unit: str
    basis: str
    set_to: Callable[[Circumstances, float], Circumstances]

    @property
    def span(self) -> str:
        """Both ends in words, with the unit once."""
        if self.unit == "share":
            return f"{percent(self.low)} to {percent(self.high)}"
        return f"{self.low:.3g} to {self.high:.3g} {self.unit}"

    def said(self, value: float) -> str:
        """Return a value of it in words, with its unit."""
        return percent(value) if self.unit == "share" else f"{value:.3g} {self.unit}"


@dataclass(frozen=True)
class Outcome:
    """What comes of a circumstances: the push to print whole, N, the creep of ink on a 1 mm line and the pad's sag, mm.

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
            forces = ("none" if force is None else newtons(force) for force in (low.force, high.force))
            told.append(f"prints whole at {' to '.join(forces)}")
        if low.creep != high.creep:
            told.append(f"ink creeps {low.creep:.2f} to {high.creep:.2f} mm")
        if low.sag != high.sag:
            told.append(f"the ink pad sags {low.sag:.2f} to {high.sag:.2f} mm")
        return f"{about.name} {about.said(about.value)} ({about.span}, {about.basis}): {'; '.join(told)}"


def circumstances_of(
    conditions: PressConditions, ink: InkSection, measured: Mapping[str, Measured] | None = None
) -> Circumstances:
    """Return the circumstances of a press under these conditions with this ink; ``measured``: settings, by path."""
    return Circumstances(conditions, ink_of(ink), ink_pad(ink), ink.pad_force, measured or {})


def assumptions(circumstances: Circumstances, die: ModulusRange) -> tuple[Assumption, ...]:
    """Return what a press with this circumstances assumes; ``die`` is the span of the solid die material's modulus."""
    conditions, ink = circumstances.conditions, circumstances.ink
    bedding = conditions.bedding[0] if conditions.bedding else Layer(0.1, 20.0, 0.1)
    listed = [
        Assumption(
            "stiffness of the die",
            conditions.stiffness,
            die.low,
            die.high,
            "MPa",
            "span of three hardness relations",
            _with_die,
        ),
        Assumption(
            "stiffness of paper and bedding", bedding.stiffness, 5.0, 50.0, "MPa", "assumed", _with_bedding_stiffness
        ),
        Assumption(
            "thickness of paper and bedding", bedding.thickness, 0.1, 5.0, "mm", "one sheet to a pad", _with_bedding
        ),
        Assumption("pressure that prints solid", ink.solid_from, 0.005, 0.1, "MPa", "assumed", _with_threshold),
        Assumption("ink film", ink.film, 0.005, 0.02, "mm", "assumed", _with_film),
        Assumption(
            "stiffness of the ink pad", circumstances.pad.stiffness, 0.1, 1.0, "MPa", "felt or foam, assumed", _with_pad
        ),
    ]
    if conditions.cushion is not None:
        stiffness, basis = conditions.cushion.stiffness, "cellular rubber, assumed"
        listed.append(Assumption("stiffness of the cushion", stiffness, 0.2, 2.0, "MPa", basis, _with_cushion))
    if conditions.infill < 1.0:
        # The middle taken is E infill^1.5; these shares give E infill² and E infill by the same formula.
        low, high = conditions.infill ** (4.0 / 3.0), conditions.infill ** (2.0 / 3.0)
        # Cells that bend, and walls that stand: Gibson and Ashby, Cellular Solids.
        basis = "range by two published models"
        listed.append(
            Assumption("stiffness of the infill, filled", conditions.infill, low, high, "share", basis, _with_infill)
        )
    return tuple(_as_known(about, circumstances.measured) for about in listed)


_SETTINGS = {
    "stiffness of paper and bedding": "press.bedding_stiffness",
    "thickness of paper and bedding": "press.bedding",
    "pressure that prints solid": "ink.solid_from",
    "ink film": "ink.film",
    "stiffness of the ink pad": "ink.pad_stiffness",
    "stiffness of the cushion": "cushion.stiffness",
}
"""The settings that assumptions are, where they are one: what was measured of them is assumed no longer."""


def _as_known(about: Assumption, measured: Mapping[str, Measured]) -> Assumption:
    known = measured.get(_SETTINGS.get(about.name, ""))
    if known is None:
        return about
    prints = f"{known.prints} print{'s' if known.prints != 1 else ''}"
    return replace(about, low=known.low, high=known.high, basis=f"measured on {prints}")


def sensitivities(
    rig: Rig, circumstances: Circumstances, die: ModulusRange, *, progress: Share | None = None
) -> tuple[Sensitivity, ...]:
    """Solve a face that is set up again at both ends of every assumption; the quick solver is used throughout."""
    base = replace(circumstances, conditions=replace(circumstances.conditions, solver="quick"))
    listed = assumptions(base, die)
    known: dict[object, float | None] = {}
    found = []
    for done, about in enumerate(listed):
        if progress is not None:
            progress(done / len(listed))
        low, high = (_outcome(rig, about.set_to(base, end), known) for end in (about.low, about.high))
        found.append(Sensitivity(about, low, high))
    return tuple(found)


def force_between(rig: Rig, circumstances: Circumstances, die: ModulusRange) -> tuple[float | None, float | None]:
    """Return the pushes that print a face that is set up whole, N, with all that is assumed at its softest and hardest.

    Soft are a soft die on thick soft paper, and ink that needs little pressure; None where no push prints it whole.
    """
    quick = replace(circumstances, conditions=replace(circumstances.conditions, solver="quick"))
    softest, hardest = quick, quick
    for about in assumptions(quick, die):
        # Of thickness there is more in a soft bedding.
        ends = (about.high, about.low) if about.set_to is _with_bedding else (about.low, about.high)
        softest, hardest = about.set_to(softest, ends[0]), about.set_to(hardest, ends[1])
    soft, hard = (force_to_print(set_up(rig.face, each.conditions, like=rig), each.ink) for each in (softest, hardest))
    return soft, hard


def _outcome(rig: Rig, circumstances: Circumstances, known: dict[object, float | None]) -> Outcome:
    """Return what comes of a circumstances; ``known`` keeps what was solved before, as most of it does not change."""
    conditions, ink = circumstances.conditions, circumstances.ink
    pressed_by = (conditions, ink.solid_from)
    if pressed_by not in known:
        known[pressed_by] = force_to_print(set_up(rig.face, conditions, like=rig), ink)
    dabbed_by = (circumstances.pad, circumstances.dab)
    if dabbed_by not in known:
        known[dabbed_by] = ink_die(rig.face, circumstances.pad, circumstances.dab).sag
    mean = np.array([conditions.force / rig.face.face_area])
    creep = float(spread_past_edge(mean, np.ones(1), ink)[0])
    return Outcome(known[pressed_by], creep, max(known[dabbed_by] or 0.0, 0.0))


def _with_die(circumstances: Circumstances, stiffness: float) -> Circumstances:
    return _under(circumstances, stiffness=stiffness)


def _with_infill(circumstances: Circumstances, infill: float) -> Circumstances:
    return _under(circumstances, infill=infill)


def _with_bedding_stiffness(circumstances: Circumstances, stiffness: float) -> Circumstances:
    return _under(
        circumstances, bedding=tuple(replace(layer, stiffness=stiffness) for layer in circumstances.conditions.bedding)
    )


def _with_bedding(circumstances: Circumstances, thickness: float) -> Circumstances:
    return _under(
        circumstances, bedding=tuple(replace(layer, thickness=thickness) for layer in circumstances.conditions.bedding)
    )


def _with_cushion(circumstances: Circumstances, stiffness: float) -> Circumstances:
    cushion = circumstances.conditions.cushion
    return circumstances if cushion is None else _under(circumstances, cushion=replace(cushion, stiffness=stiffness))


def _with_threshold(circumstances: Circumstances, threshold: float) -> Circumstances:
    return replace(circumstances, ink=replace(circumstances.ink, solid_from=threshold))


def _with_film(circumstances: Circumstances, film: float) -> Circumstances:
    return replace(circumstances, ink=replace(circumstances.ink, film=film))


def _with_pad(circumstances: Circumstances, stiffness: float) -> Circumstances:
    return replace(circumstances, pad=replace(circumstances.pad, stiffness=stiffness))


def _under(circumstances: Circumstances, **changes: object) -> Circumstances:
    """Return the circumstances circumstances changed conditions."""
    return replace(circumstances, conditions=replace(circumstances.conditions, **changes))  # type: ignore[arg-type]
