"""The settings of a print on paper: the ink, and how the stamp is pushed."""

from __future__ import annotations

from dataclasses import dataclass

from ...errors import JobError
from ...looks.colours import PAPER, contrast, rgb
from ..settings import Section, setting

LEAST_CONTRAST = 1.5
"""Of ink on white paper; what is lighter is not seen on a page (3 is the least for drawings, WCAG 2.2, 1.4.11)."""


@dataclass(frozen=True, kw_only=True)
class InkSection(Section):
    """The ink on paper."""

    colour: str = setting(
        "#26407c", "Colour of the ink on the page for the customer, as #rrggbb: blue of a stamp pad", text="colour"
    )
    spread: float = setting(
        0.1,
        "How far ink creeps past the face's edge, per edge (assumed; measure it on your own paper)",
        unit="mm",
        low=0,
        high=1,
        normal=(0.05, 0.2),
    )
    film: float = setting(
        0.010, "Thickness of the ink on the face (assumed)", unit="mm", low=0.001, high=0.1, normal=(0.005, 0.02)
    )
    solid_from: float = setting(
        0.02,
        "Pressure at which paper takes a solid print; below it prints as a tone (assumed)",
        unit="MPa",
        low=0.0001,
        high=10,
        normal=(0.005, 0.1),
    )
    density: float = setting(
        1.4, "Optical density of solid ink over that of the paper (assumed)", low=0.1, high=4, normal=(1, 1.6)
    )
    pad_thickness: float = setting(
        5.0, "Thickness of the soft ink pad (assumed)", unit="mm", low=0.2, high=100, normal=(3, 10)
    )
    pad_stiffness: float = setting(
        0.3,
        "Stiffness of the ink pad: Young's modulus of felt or foam (assumed)",
        unit="MPa",
        low=0.005,
        high=100,
        normal=(0.1, 1),
    )
    pad_force: float = setting(
        10.0, "Push of the die on the ink pad: a few light dabs (assumed)", unit="N", low=0.1, high=500, normal=(5, 20)
    )
    pad_pressure: float = setting(
        0.03,
        "Pressure at which the hand stops on the ink pad: a small face is dabbed more lightly (assumed: a tenth of the "
        "pad's thickness)",
        unit="MPa",
        low=0.001,
        high=10,
        normal=(0.01, 0.1),
    )

    def __post_init__(self) -> None:
        """Check every setting, and that the ink is seen on paper; raises :class:`~stampwright.errors.JobError`."""
        super().__post_init__()
        if contrast(rgb(self.colour), rgb(PAPER)) < LEAST_CONTRAST:
            raise JobError(f"ink.colour = '{self.colour}' is not seen on white paper; choose a darker colour")


@dataclass(frozen=True, kw_only=True)
class PressSection(Section):
    """How the stamp is pushed on paper, and what lies under it."""

    force: float = setting(60.0, "Push on the handle", unit="N", low=0.1, high=5000, normal=(30, 110))
    pressure: float = setting(
        0.5,
        "Pressure on the face at which the hand stops: a small stamp is pushed more lightly (assumed: 25 times what "
        "prints solid)",
        unit="MPa",
        low=0.01,
        high=100,
        normal=(0.2, 2),
    )
    line_force: float = setting(
        0.1,
        "Push at which the hand stops on a rolled face, for each mm of the band that touches (assumed: the pressure of "
        "a flat stamp)",
        unit="N/mm",
        low=0.001,
        high=100,
        normal=(0.05, 0.5),
    )
    off_centre_x: float = setting(
        0.0, "Where the push passes, right of the base's middle on paper", unit="mm", low=-150, high=150, normal=(-5, 5)
    )
    off_centre_y: float = setting(
        0.0, "Where the push passes, above the base's middle on paper", unit="mm", low=-150, high=150, normal=(-5, 5)
    )
    turning: str = setting(
        "free",
        "Free: the stamp may tilt. None: it is held level",
        choices={
            "free": "The stamp tilts until the push and the paper balance",
            "none": "The stamp is held level",
        },
    )
    dressing_done: float = setting(
        100.0,
        "Share of the dressing allowance that has been taken off the face",
        unit="%",
        low=0,
        high=100,
        normal=(0, 100),
    )
    bow: float = setting(
        0.1,
        "How far the printed face is out of flat, middle over edge, before dressing (assumed)",
        unit="mm",
        low=-5,
        high=5,
        normal=(-0.3, 0.3),
    )
    bead_turn: float = setting(
        45.0,
        "Turn of the top layer's beads on paper, counter-clockwise",
        unit="deg",
        low=-360,
        high=360,
        normal=(-90, 90),
    )
    bedding: float = setting(
        1.0,
        "Thickness of paper and whatever yields under it, down to a hard table (assumed: ten sheets)",
        unit="mm",
        low=0.02,
        high=100,
        normal=(0.1, 5),
    )
    bedding_stiffness: float = setting(
        20.0,
        "Stiffness of paper and bedding across their thickness: Young's modulus (assumed)",
        unit="MPa",
        low=0.01,
        high=1e5,
        normal=(5, 50),
    )
    solver: str = setting(
        "quick",
        "Quick estimate, or the slower full computation",
        choices={
            "quick": "Each place of the face yields by itself",
            "full": "Places yield together: slower, and truer",
        },
    )

    @property
    def dressed(self) -> float:
        """Share of the dressing allowance that has been taken off, 0 to 1."""
        return self.dressing_done / 100.0
