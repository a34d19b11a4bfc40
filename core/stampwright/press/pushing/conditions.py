"""What a press is reckoned with: the push, and everything that yields between hand and table."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...errors import PressError
from ...job.bent import radius_of, repeat_of
from ...job.materials import MATERIALS, Material
from ...job.sections.bending import BendSection
from ...job.sections.parts import BackingSection, CushionSection, DieSection
from ...job.sections.pressing import PressSection
from ...job.sections.printing import PrinterSection
from ..contact.layers import Layer
from ..contact.rolling import Rolling
from .stiffness import HARDEST_SHORE_A, ModulusRange, infill_stiffness, modulus_range, shape_coefficient

PAPER_POISSON = 0.1
"""Poisson's ratio of paper and of sheets in a pile, across their thickness: near nothing (assumed)."""

CUSHION_POISSON = 0.3
"""Poisson's ratio of cellular rubber; cells collapse rather than bulge (assumed)."""


@dataclass(frozen=True, kw_only=True)
class PressConditions:
    """How a face is pressed, and what it and the paper stand on.

    ``force`` N, or as much of it as brings the mean pressure on the face to ``pressure`` MPa, or the push on a rolled
    face to ``line_force`` N for each mm across the way, its line through ``at`` mm, paper frame; ``free`` lets the
    stamp turn until moments balance.
    ``stiffness`` MPa and ``poisson`` of the solid die material, ``shape`` its coefficient of the shape factor.
    ``floor``, ``layer``, ``line_width`` mm, ``walls`` and ``infill`` say how the die is printed. ``cushion``: the soft
    layer behind the floor, if any; ``behind``: further layers up to the rigid handle; ``bedding``: layers from the
    paper down to the rigid table. ``solver``: "quick" or "full". ``rolling``: how a curved face rolls; None for a flat
    one, which meets the paper all at once. ``rests_at``: how far past first touch a gauge stops the stamp, mm: it tilts
    by no more than that.
    """

    force: float = 60.0
    pressure: float = math.inf
    line_force: float = math.inf
    at: tuple[float, float] = (0.0, 0.0)
    free: bool = True
    stiffness: float = 28.8
    poisson: float = 0.48
    shape: float = 0.52
    floor: float = 2.0
    layer: float = 0.2
    line_width: float = 0.4
    walls: int = 3
    infill: float = 1.0
    cushion: Layer | None = None
    behind: tuple[Layer, ...] = ()
    bedding: tuple[Layer, ...] = (Layer(1.0, 20.0, PAPER_POISSON),)
    solver: str = "quick"
    rolling: Rolling | None = None
    rests_at: float = math.inf

    def __post_init__(self) -> None:
        """Check the figures; raises :class:`PressError`."""
        if not 0.0 < self.force < math.inf:
            raise PressError(f"force = {self.force!r} N presses nothing; give a force above 0 N")
        if not all(math.isfinite(part) for part in self.at):
            raise PressError(f"off-centre {self.at!r} is no place; give x and y in mm")
        if self.solver not in ("quick", "full"):
            raise PressError(f"solver {self.solver!r} is not known; it is quick or full")
        if not 0.0 <= self.infill <= 1.0:
            raise PressError(f"infill = {self.infill:g} is not a share; it takes 0 (hollow) to 1 (solid)")
        if not 0.01 <= self.stiffness <= 1e5:
            raise PressError(f"a die of {self.stiffness:g} MPa is out of range; it may have 0.01 to 100000 MPa")

    def floor_layers(self) -> tuple[Layer, ...]:
        """Return the floor as printed: solid skins, as many layers as there are walls, round a filled core.

        Raises :class:`~stampwright.errors.PressError` when the die has no infill that would carry its face.
        """
        skin = min(self.walls * self.layer, self.floor / 2.0)
        core = self.floor - 2.0 * skin
        if self.infill >= 1.0 or core < self.layer / 2.0:
            return (Layer(self.floor, self.stiffness, self.poisson),)
        if self.infill <= 0.0:
            raise PressError("a die with infill 0 has nothing to carry its face; give die.infill above 0")
        solid = Layer(skin, self.stiffness, self.poisson)
        # Cells make room for what is pressed aside: a porous core does not bulge as a solid one does.
        porous = Layer(core, infill_stiffness(self.stiffness, self.infill).middle, self.poisson * self.infill)
        return (solid, porous, solid)

    def behind_face(self) -> tuple[Layer, ...]:
        """Return all layers between the foot of the relief and the rigid handle.

        Raises as :meth:`floor_layers`: :class:`~stampwright.errors.PressError`.
        """
        cushion = () if self.cushion is None else (self.cushion,)
        return (*self.floor_layers(), *cushion, *self.behind)


def conditions_of(
    press: PressSection,
    die: DieSection,
    backing: BackingSection,
    cushion: CushionSection,
    printer: PrinterSection,
    *,
    bend: BendSection | None = None,
) -> PressConditions:
    """Return the conditions that these sections of a job state, the die at the middle of its range of stiffness.

    Raises :class:`PressError` when the die's hardness is outside the relations.
    """
    rubber, thick, behind = MATERIALS[die.material], cushion.thickness, []
    if backing.form == "one-piece":
        behind.append(_printed(backing.thickness, rubber, die.infill))
    elif backing.form == "plate":
        rest = backing.thickness - backing.seat_depth
        behind.append(_printed(rest, MATERIALS[backing.material], backing.infill))
    rolling = None if bend is None else rolling_of(bend)
    return PressConditions(
        force=press.force,
        pressure=press.pressure,
        line_force=press.line_force,
        at=(press.off_centre_x, press.off_centre_y),
        # What rolls is kept straight by its own curve.
        free=press.turning == "free" and rolling is None,
        stiffness=stiffness_of(rubber).middle,
        poisson=rubber.poisson,
        shape=shape_coefficient(rubber.shore_a if rubber.shore_a is not None else HARDEST_SHORE_A),
        floor=die.floor,
        layer=printer.layer,
        line_width=printer.line_width,
        walls=die.walls,
        infill=die.infill,
        cushion=Layer(thick, cushion.stiffness, CUSHION_POISSON) if thick > 0.0 else None,
        behind=tuple(behind),
        bedding=(Layer(press.bedding, press.bedding_stiffness, PAPER_POISSON),),
        solver=press.solver,
        rolling=rolling,
    )


def rolling_of(bend: BendSection) -> Rolling | None:
    """Return how a job's face rolls; None for a flat one."""
    if bend.form == "flat":
        return None
    round_once = repeat_of(bend) if bend.form == "roller" else 0.0
    return Rolling(radius=radius_of(bend), upward=bend.rolls == "up", round_once=round_once)


def stiffness_of(material: Material) -> ModulusRange:
    """Return the span of a filament's modulus, from its hardness or from data sheets.

    Raises :class:`~stampwright.errors.PressError` when nothing is known of it.

    >>> print(stiffness_of(MATERIALS["tpu-85a"]))
    10.2 to 22.8 MPa
    """
    if material.shore_a is not None:
        return modulus_range(material.shore_a)
    if material.stiffness is None:
        raise PressError(f"{material.label}: neither hardness nor stiffness is known; it cannot be pressed")
    low, high = material.stiffness
    return ModulusRange(low, math.sqrt(low * high), high)


def _printed(thickness: float, material: Material, infill: float) -> Layer:
    # A part that is printed with no infill at all still stands on its walls; a twentieth stands for them (assumed).
    stiffness = infill_stiffness(stiffness_of(material).middle, max(infill, 0.05)).middle
    return Layer(thickness, stiffness, material.poisson)
