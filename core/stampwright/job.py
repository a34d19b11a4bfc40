"""The job: every figure of one stamp, with its default, unit, limits and reason.

A :class:`Job` is a tree of frozen dataclasses, one a section. Each field carries its own
:class:`~stampwright.figures.Figure`, from which validation, the command line's ``--set``, the ticket and any user
interface take limits, units and explanations. Reading and writing job files is in :mod:`stampwright.jobfile`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, fields, replace
from typing import Any

from .face_figures import FaceSection
from .figures import Figure, Point, checked, figure
from .job_checks import check_together, unknown_field
from .materials import MATERIALS
from .pieces import Piece
from .tracing_figures import TracingSection


@dataclass(frozen=True, kw_only=True)
class LayoutSection:
    """How large the artwork is and where it sits on the base."""

    size_by: str = figure("fit", "What sets the artwork's size", choices=("fit", "width", "height", "page"))
    width: float = figure(40.0, "Width of the ink when size_by is width", unit="mm", low=1, high=300, normal=(10, 80))
    height: float = figure(
        40.0, "Height of the ink when size_by is height", unit="mm", low=1, high=300, normal=(10, 80)
    )
    margin: float = figure(
        2.0,
        "Clear distance from ink to the base's edge when fitted; the shoulder needs room to stand",
        unit="mm",
        low=0,
        high=50,
        normal=(1.5, 5),
    )
    centre: str = figure(
        "circle", "Which middle of the artwork comes to the middle of the base", choices=("bounds", "area", "circle")
    )
    rotation: float = figure(
        0.0, "Turn of the artwork on paper, counter-clockwise", unit="deg", low=-360, high=360, normal=(-180, 180)
    )


@dataclass(frozen=True, kw_only=True)
class BaseSection:
    """The outline of the die's floor."""

    outline: str = figure("round", "Form of the base", choices=("round", "rectangle", "ellipse", "follow", "custom"))
    width: float = figure(
        50.0,
        "Across the base; the diameter of a round one (common practice for a small hand stamp)",
        unit="mm",
        low=5,
        high=300,
        normal=(15, 80),
    )
    height: float = figure(50.0, "Up the base; a round one ignores it", unit="mm", low=5, high=300, normal=(15, 80))
    corner_radius: float = figure(3.0, "Radius of a rectangle's corners", unit="mm", low=0, high=150, normal=(1, 6))
    margin: float = figure(
        3.0,
        "Distance from ink to the edge of a base that follows the artwork",
        unit="mm",
        low=0.5,
        high=50,
        normal=(2, 6),
    )
    smoothing: float = figure(
        4.0, "Radius below which a following outline's hollows are rounded", unit="mm", low=0, high=50, normal=(1, 8)
    )
    points: tuple[Point, ...] = figure(
        (), "Corners of a custom outline, paper frame, origin at its middle", kind="points", unit="mm"
    )


@dataclass(frozen=True, kw_only=True)
class ProcessSection:
    """The printer and how it lays material."""

    nozzle: float = figure(0.4, "Bore of the nozzle", unit="mm", low=0.1, high=2, normal=(0.25, 0.8))
    line_ratio: float = figure(
        1.0,
        "Extrusion width as a share of the nozzle's bore; 100 % is the usual start",
        low=0.6,
        high=2,
        normal=(1, 1.2),
    )
    layer: float = figure(0.2, "Layer height; heights are whole layers", unit="mm", low=0.04, high=1, normal=(0.1, 0.3))
    bed_width: float = figure(220.0, "Width of the bed", unit="mm", low=50, high=2000, normal=(180, 350))
    bed_depth: float = figure(220.0, "Depth of the bed", unit="mm", low=50, high=2000, normal=(180, 350))
    bed_height: float = figure(
        250.0, "Height that the printer can build", unit="mm", low=50, high=2000, normal=(180, 400)
    )
    speed_flexible: float = figure(
        20.0,
        "Speed for flexible filament; slow, or it buckles in the feed",
        unit="mm/s",
        low=1,
        high=300,
        normal=(15, 30),
    )
    speed_rigid: float = figure(60.0, "Speed for hard filament", unit="mm/s", low=1, high=1000, normal=(40, 150))

    @property
    def line_width(self) -> float:
        """Width of one extruded line, mm."""
        return self.nozzle * self.line_ratio


@dataclass(frozen=True, kw_only=True)
class PreflightSection:
    """What the artwork is examined for, and what is mended without redrawing."""

    block_lines: float = figure(
        1.0,
        "Ink narrower than this many extrusion widths blocks: the printer lays no such line",
        low=0,
        high=10,
        normal=(0.8, 1.5),
    )
    warn_lines: float = figure(
        2.0,
        "Ink narrower than this many extrusion widths warns: one pass only, weak and uneven",
        low=0,
        high=10,
        normal=(1.5, 3),
    )
    speck: float = figure(
        0.8,
        "Islands of ink whose smallest enclosing circle is smaller than this tear off",
        unit="mm",
        low=0,
        high=10,
        normal=(0.6, 2),
    )
    dot: float = figure(
        2.0,
        "Islands of ink smaller than this are dots that should not stand alone",
        unit="mm",
        low=0,
        high=20,
        normal=(1.5, 3),
    )
    isolation: float = figure(
        6.0,
        "A small dot with no ink within this distance takes the whole push and prints a hole",
        unit="mm",
        low=0,
        high=100,
        normal=(4, 12),
    )
    cover: float = figure(
        0.6,
        "Share of the base covered by ink above which the stamp is hard to press evenly",
        low=0.05,
        high=1,
        normal=(0.4, 0.7),
    )
    points_per_mm: float = figure(
        50.0,
        "Outline points per mm above which the drawing is finer than any printer",
        unit="1/mm",
        low=1,
        high=10000,
        normal=(30, 100),
    )
    most_points: int = figure(
        150_000,
        "Outline points that are built: finer outlines are thinned to within 0.002 mm, and refused if too many stay",
        low=1_000,
        high=5_000_000,
        normal=(100_000, 500_000),
    )
    repair: bool = figure(False, "Mend what blocks or warns before building")
    repair_at: tuple[Point, ...] = figure(
        (),
        "Single findings that are mended where not all are: a point in each, paper frame, origin in the base's middle",
        kind="points",
        unit="mm",
    )
    repair_lines: bool = figure(True, "On repair: thicken what is too thin")
    repair_gaps: bool = figure(True, "On repair: open what is too narrow")
    repair_specks: str = figure("grow", "On repair: what becomes of specks", choices=("grow", "drop", "keep"))
    repair_spikes: bool = figure(True, "On repair: round hair-thin spikes")
    accept: tuple[str, ...] = figure((), "Kinds of finding that shall not block, by name", kind="names")


@dataclass(frozen=True, kw_only=True)
class InkSection:
    """The ink on paper."""

    spread: float = figure(
        0.1,
        "How far ink creeps past the face's edge, per edge (assumed; measure it on your own paper)",
        unit="mm",
        low=0,
        high=1,
        normal=(0.05, 0.2),
    )
    film: float = figure(
        0.010, "Thickness of the ink on the face (assumed)", unit="mm", low=0.001, high=0.1, normal=(0.005, 0.02)
    )
    threshold: float = figure(
        0.02,
        "Pressure at which paper takes a solid print; below it prints as a tone (assumed)",
        unit="MPa",
        low=0.0001,
        high=10,
        normal=(0.005, 0.1),
    )
    density: float = figure(
        1.4, "Optical density of solid ink over that of the paper (assumed)", low=0.1, high=4, normal=(1, 1.6)
    )
    pad_thickness: float = figure(
        5.0, "Thickness of the soft ink pad (assumed)", unit="mm", low=0.2, high=100, normal=(3, 10)
    )
    pad_young: float = figure(
        0.3, "Young's modulus of the ink pad, felt or foam (assumed)", unit="MPa", low=0.005, high=100, normal=(0.1, 1)
    )
    pad_force: float = figure(
        10.0, "Push of the die on the ink pad: a few light dabs (assumed)", unit="N", low=0.1, high=500, normal=(5, 20)
    )


@dataclass(frozen=True, kw_only=True)
class PressSection:
    """How the stamp is pushed on paper, and what lies under it."""

    force: float = figure(60.0, "Push on the handle", unit="N", low=0.1, high=5000, normal=(30, 110))
    off_centre_x: float = figure(
        0.0, "Where the push passes, right of the base's middle on paper", unit="mm", low=-150, high=150, normal=(-5, 5)
    )
    off_centre_y: float = figure(
        0.0, "Where the push passes, above the base's middle on paper", unit="mm", low=-150, high=150, normal=(-5, 5)
    )
    hold: str = figure(
        "free", "Whether the stamp turns until moments balance, or is kept level", choices=("free", "level")
    )
    dressed: float = figure(
        1.0, "Share of the dressing allowance that has been taken off the face", low=0, high=1, normal=(0, 1)
    )
    bow: float = figure(
        0.1,
        "How far the printed face is out of flat, middle over edge, before dressing (assumed)",
        unit="mm",
        low=-5,
        high=5,
        normal=(-0.3, 0.3),
    )
    bead_angle: float = figure(
        45.0, "Direction of the top layer's beads on paper", unit="deg", low=-360, high=360, normal=(-90, 90)
    )
    bedding: float = figure(
        1.0,
        "Thickness of paper and whatever yields under it, down to a hard table (assumed: ten sheets)",
        unit="mm",
        low=0.02,
        high=100,
        normal=(0.1, 5),
    )
    bedding_young: float = figure(
        20.0,
        "Modulus of paper and bedding across their thickness (assumed)",
        unit="MPa",
        low=0.01,
        high=1e5,
        normal=(5, 50),
    )
    solver: str = figure(
        "foundation", "Quick: each place on its own spring; full: places yield together", choices=("foundation", "full")
    )


@dataclass(frozen=True, kw_only=True)
class DieSection:
    """The soft part: floor and relief."""

    material: str = figure("tpu-95a", "Filament of the die", choices=tuple(MATERIALS))
    floor: float = figure(
        2.0, "Solid sheet under the relief (common practice)", unit="mm", low=0.4, high=20, normal=(1.2, 3)
    )
    relief: float = figure(
        2.0, "Height of the finished face over the floor (common practice)", unit="mm", low=0.4, high=20, normal=(1, 3)
    )
    dressing: float = figure(
        0.2,
        "Extra height of the face that abrasive paper takes off: a printed top is not flat",
        unit="mm",
        low=0,
        high=2,
        normal=(0.2, 0.4),
    )
    shoulder: float = figure(
        15.0,
        "Flare of the relief's flanks from the vertical: lines stand on a broader foot",
        unit="deg",
        low=0,
        high=60,
        normal=(10, 30),
    )
    compensate_spread: bool = figure(
        False, "Draw the face in by the ink's spread, so that the print has the drawn width"
    )
    walls: int = figure(3, "Outlines printed round each layer", low=1, high=50, normal=(2, 4))
    infill: float = figure(
        1.0, "Share of the inside that is filled; a full die presses evenly", low=0, high=1, normal=(0.2, 1)
    )


@dataclass(frozen=True, kw_only=True)
class BackingSection:
    """The stiff plate between die and handle."""

    form: str = figure(
        "plate", "A plate of its own, one piece with the die, or none", choices=("plate", "one-piece", "none")
    )
    material: str = figure("pla", "Filament of the backing", choices=tuple(MATERIALS))
    thickness: float = figure(4.0, "Whole thickness of the plate", unit="mm", low=0.8, high=50, normal=(3, 6))
    seat_depth: float = figure(
        1.0,
        "Depth of the recess that locates the die; 0 leaves a plain glue face",
        unit="mm",
        low=0,
        high=20,
        normal=(0.6, 1.6),
    )
    clearance: float = figure(
        0.2, "Gap round the die in its seat, per side", unit="mm", low=0, high=2, normal=(0.1, 0.3)
    )
    rim: float = figure(2.0, "Width of the wall round the seat", unit="mm", low=0.4, high=20, normal=(1.2, 3))
    grooves: bool = figure(True, "Grooves that take up surplus glue")
    groove_width: float = figure(1.0, "Width of a glue groove", unit="mm", low=0.2, high=10, normal=(0.8, 1.5))
    groove_depth: float = figure(0.4, "Depth of a glue groove", unit="mm", low=0.05, high=5, normal=(0.2, 0.6))
    groove_spacing: float = figure(6.0, "Distance from groove to groove", unit="mm", low=0.5, high=100, normal=(4, 10))
    walls: int = figure(3, "Outlines printed round each layer", low=1, high=50, normal=(2, 4))
    infill: float = figure(0.4, "Share of the inside that is filled", low=0, high=1, normal=(0.2, 1))


@dataclass(frozen=True, kw_only=True)
class CushionSection:
    """An optional soft sheet between die and backing; it is cut, not printed."""

    thickness: float = figure(0.0, "Thickness of the sheet; 0 for none", unit="mm", low=0, high=20, normal=(1, 4))
    young: float = figure(
        0.6, "Young's modulus of cellular rubber sheet (assumed)", unit="MPa", low=0.01, high=1000, normal=(0.2, 2)
    )


@dataclass(frozen=True, kw_only=True)
class HandleSection:
    """What the hand holds."""

    form: str = figure("knob", "Form of the handle", choices=("knob", "grip", "block", "lathe", "prism", "none"))
    material: str = figure("pla", "Filament of the handle", choices=tuple(MATERIALS))
    height: float = figure(45.0, "Height over the backing", unit="mm", low=5, high=250, normal=(25, 110))
    grip_width: float = figure(
        38.0,
        "Across the part that the fingers close round (power grip 32 to 51 mm, about 38 best)",
        unit="mm",
        low=5,
        high=200,
        normal=(25, 51),
    )
    neck_width: float = figure(
        22.0, "Across the narrowest part of a knob or grip", unit="mm", low=4, high=200, normal=(16, 35)
    )
    edge_radius: float = figure(2.0, "Rounding of the upper edge", unit="mm", low=0, high=30, normal=(1, 5))
    profile: tuple[Point, ...] = figure(
        (), "Lathe profile: (radius, height) from the foot up", kind="points", unit="mm"
    )
    outline: tuple[Point, ...] = figure(
        (), "Prism outline, paper frame, origin at its middle", kind="points", unit="mm"
    )
    hollow: bool = figure(False, "Hollow the handle from below")
    wall: float = figure(3.0, "Wall left by hollowing", unit="mm", low=0.8, high=50, normal=(2, 5))
    up_mark: bool = figure(True, "Mark which side is up")
    index: str = figure("sunk", "Small picture of the impression on the top", choices=("sunk", "raised", "none"))
    index_depth: float = figure(0.6, "Depth or height of the index", unit="mm", low=0.1, high=5, normal=(0.4, 1))
    walls: int = figure(3, "Outlines printed round each layer", low=1, high=50, normal=(2, 4))
    infill: float = figure(0.15, "Share of the inside that is filled", low=0, high=1, normal=(0.1, 0.4))


@dataclass(frozen=True, kw_only=True)
class PriceSection:
    """What filament costs."""

    currency: str = figure("EUR", "Shown beside every cost")
    die_per_kg: float = figure(40.0, "Price of the die's filament", unit="1/kg", low=0, high=100000, normal=(25, 80))
    backing_per_kg: float = figure(
        22.0, "Price of the backing's filament", unit="1/kg", low=0, high=100000, normal=(15, 50)
    )
    handle_per_kg: float = figure(
        22.0, "Price of the handle's filament", unit="1/kg", low=0, high=100000, normal=(15, 50)
    )


@dataclass(frozen=True, kw_only=True)
class Job:
    """The whole specification of one stamp, as saved.

    >>> Job().die.relief
    2.0
    >>> Job().with_value("die.relief", 1.6).die.relief
    1.6
    """

    name: str = figure("stamp", "Name of the stamp, on the ticket and in the files")
    layout: LayoutSection = field(default_factory=LayoutSection)
    base: BaseSection = field(default_factory=BaseSection)
    process: ProcessSection = field(default_factory=ProcessSection)
    preflight: PreflightSection = field(default_factory=PreflightSection)
    ink: InkSection = field(default_factory=InkSection)
    press: PressSection = field(default_factory=PressSection)
    die: DieSection = field(default_factory=DieSection)
    face: FaceSection = field(default_factory=FaceSection)
    backing: BackingSection = field(default_factory=BackingSection)
    cushion: CushionSection = field(default_factory=CushionSection)
    handle: HandleSection = field(default_factory=HandleSection)
    price: PriceSection = field(default_factory=PriceSection)
    tracing: TracingSection = field(default_factory=TracingSection)
    pieces: tuple[Piece, ...] = ()

    def __post_init__(self) -> None:
        """Check every figure by itself and together; raises :class:`JobError`."""
        for outer in fields(self):
            value = getattr(self, outer.name)
            if "figure" in outer.metadata:
                object.__setattr__(self, outer.name, checked(outer.name, value, outer.metadata["figure"]))
                continue
            if outer.name == "pieces":
                # Each piece has checked itself.
                object.__setattr__(self, outer.name, tuple(value))
                continue
            corrected = {
                inner.name: checked(f"{outer.name}.{inner.name}", getattr(value, inner.name), inner.metadata["figure"])
                for inner in fields(value)
            }
            object.__setattr__(self, outer.name, replace(value, **corrected))
        check_together(self)

    def with_values(self, values: dict[str, Any]) -> Job:
        """Return the job with some fields replaced; keys are written ``section.field`` (or ``name``).

        All are replaced before the check, so figures that depend on each other can change together. Raises
        :class:`JobError` when a field is unknown (the message names the nearest ones) or a value is not allowed.
        """
        changed: dict[str, dict[str, Any]] = {}
        outermost: dict[str, Any] = {}
        known = {path for path, _, _ in job_figures(self)}
        for path, value in values.items():
            if path not in known:
                raise unknown_field(path, known)
            section, _, name = path.partition(".")
            if name:
                changed.setdefault(section, {})[name] = value
            else:
                outermost[section] = value
        for section, part in changed.items():
            outermost[section] = replace(getattr(self, section), **part)
        return replace(self, **outermost)

    def with_value(self, path: str, value: Any) -> Job:
        """Return the job with one field replaced; see :meth:`with_values`."""
        return self.with_values({path: value})


def job_figures(job: Job) -> Iterator[tuple[str, Any, Figure]]:
    """Yield (path, value, figure) for every field of the job, in the order of the job; pieces are not fields.

    >>> [path for path, _, _ in job_figures(Job())][:2]
    ['name', 'layout.size_by']
    """
    for outer in fields(job):
        value = getattr(job, outer.name)
        if "figure" in outer.metadata:
            yield outer.name, value, outer.metadata["figure"]
            continue
        if outer.name == "pieces":
            continue
        for inner in fields(value):
            yield f"{outer.name}.{inner.name}", getattr(value, inner.name), inner.metadata["figure"]
