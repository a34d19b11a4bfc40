"""What bending asks of the other settings: the base that a roller's repeat lies on, its radius, and what cannot be."""

from __future__ import annotations

import math

from ..errors import JobError
from ..plane.grid import GRID
from .sections.bending import BendSection
from .sections.parts import BackingSection, CushionSection, DieSection, HandleSection
from .sections.placing import BaseSection
from .settings import limits_of

LEAST_INSIDE = 1.0
"""Radius that the die's floor leaves round the axis at least, mm: less than that cannot be printed as a hollow."""

LEAST_WALL = 1.5
"""What a roller's drum has round its bore at least, mm: four lines of an ordinary nozzle."""


def repeat_of(bend: BendSection) -> float:
    """Return how long a roller's repeat is, mm, on the grid on which outlines lie.

    >>> round(repeat_of(BendSection(form="roller", size_by="radius", radius=20.0, turns=2)), 3)
    62.832
    """
    wanted = bend.repeat if bend.size_by == "repeat" else 2.0 * math.pi * bend.radius / bend.turns
    # Its half lies on the grid, too.
    return round(wanted / (2.0 * GRID)) * 2.0 * GRID


def radius_of(bend: BendSection) -> float:
    """Return the radius of the finished face, mm: a roller's is such that its repeats go round exactly.

    >>> round(radius_of(BendSection(form="roller", repeat=100.0, turns=2)), 3)
    31.831
    """
    return repeat_of(bend) * bend.turns / (2.0 * math.pi) if bend.form == "roller" else bend.radius


def laid_on(base: BaseSection, bend: BendSection) -> BaseSection:
    """Return the base that artwork is laid out on: a roller has one repeat, in place of the job's own."""
    if bend.form != "roller":
        return base
    repeat = repeat_of(bend)
    width, height = (bend.band, repeat) if bend.rolls == "up" else (repeat, bend.band)
    return BaseSection(outline="rectangle", width=width, height=height, corner_radius=0.0)


def check_bend(
    bend: BendSection, die: DieSection, backing: BackingSection, cushion: CushionSection, handle: HandleSection
) -> None:
    """Check that a bent die can be; raises :class:`JobError` when settings contradict each other."""
    if bend.form == "flat":
        return
    low, high = limits_of(BendSection, "repeat")
    if bend.form == "roller" and not low <= repeat_of(bend) <= high:
        raise JobError(
            f"bend.radius = {bend.radius:g} mm and bend.turns = {bend.turns} make a repeat of {repeat_of(bend):.1f} "
            f"mm; allowed here: {low:g} to {high:g} mm. Change bend.turns or bend.radius"
        )
    radius, plate = radius_of(bend), backing.thickness if backing.form == "one-piece" else 0.0
    inside = radius - die.floor - die.relief - plate
    what = "bend.repeat times bend.turns makes a radius of" if _by_repeat(bend) else "bend.radius ="
    if inside < LEAST_INSIDE:
        raise JobError(
            f"{what} {radius:.4g} mm, but floor and relief take {radius - inside:g} mm of it; allowed here: "
            f"{radius - inside + LEAST_INSIDE:g} mm or more"
        )
    if cushion.thickness > 0:
        raise JobError("cushion.thickness must be 0 when bend.form is rocker or roller: the die lies on its backing")
    if bend.form == "roller":
        _check_roller(bend, backing, inside, what, radius)
    elif backing.form == "none" and handle.form != "none":
        raise JobError(
            "a rocker without a backing has nothing for a handle to stand on: set handle.form to none, or "
            "backing.form to plate"
        )


def _check_roller(bend: BendSection, backing: BackingSection, inside: float, what: str, radius: float) -> None:
    if backing.form == "one-piece":
        raise JobError("a roller's die goes round a drum: backing.form must be plate (the drum) or none")
    least = bend.axle / 2 + bend.play + LEAST_WALL + backing.clearance
    if backing.form == "plate" and inside < least:
        raise JobError(
            f"{what} {radius:.4g} mm, which leaves {inside:.1f} mm inside the die for a drum round an axle of "
            f"{bend.axle:g} mm; allowed here: {radius - inside + least:.1f} mm or more, or a thinner bend.axle"
        )


def _by_repeat(bend: BendSection) -> bool:
    return bend.form == "roller" and bend.size_by == "repeat"
