"""The settings of the parts: die, backing, cushion and handle."""

from __future__ import annotations

from dataclasses import dataclass

from ..materials import MATERIALS
from ..settings import Point, Section, setting

FILAMENTS = {key: material.about for key, material in MATERIALS.items()}
"""Filaments that a part may be printed from, and what each is good for."""


@dataclass(frozen=True, kw_only=True)
class DieSection(Section):
    """The soft part: floor and relief."""

    material: str = setting("tpu-95a", "Filament of the die", choices=FILAMENTS)
    floor: float = setting(
        2.0, "Solid sheet under the relief (common practice)", unit="mm", low=0.4, high=20, normal=(1.2, 3)
    )
    relief: float = setting(
        2.0, "Height of the finished face over the floor (common practice)", unit="mm", low=0.4, high=20, normal=(1, 3)
    )
    dressing: float = setting(
        0.2,
        "Extra height of the face that abrasive paper takes off: a printed top is not flat",
        unit="mm",
        low=0,
        high=2,
        normal=(0.2, 0.4),
    )
    shoulder: float = setting(
        15.0,
        "Flare of the relief's flanks from the vertical: lines stand on a broader foot",
        unit="deg",
        low=0,
        high=60,
        normal=(10, 30),
    )
    chamfer: float = setting(
        0.4,
        "Chamfer of the lower edge: first layers are squeezed broader and would keep the die out of its seat "
        "(common practice)",
        unit="mm",
        low=0,
        high=3,
        normal=(0, 0.8),
    )
    compensate_spread: bool = setting(
        False, "Draw the face in by the ink's spread, so that the print has the drawn width"
    )
    walls: int = setting(3, "Outlines printed round each layer", low=1, high=50, normal=(2, 4))
    infill: float = setting(
        1.0, "Share of the inside that is filled; a full die presses evenly", low=0, high=1, normal=(0.2, 1)
    )


@dataclass(frozen=True, kw_only=True)
class BackingSection(Section):
    """The stiff plate between die and handle."""

    form: str = setting(
        "plate",
        "What stiffens the die",
        choices={
            "plate": "A plate of its own, glued to the die",
            "one-piece": "A plate printed in one piece with the die",
            "none": "Nothing: the die is used as it is",
        },
    )
    material: str = setting("pla", "Filament of the backing", choices=FILAMENTS)
    thickness: float = setting(4.0, "Whole thickness of the plate", unit="mm", low=0.8, high=50, normal=(3, 6))
    seat_depth: float = setting(
        1.0,
        "Depth of the recess that locates the die; 0 leaves a plain glue face",
        unit="mm",
        low=0,
        high=20,
        normal=(0.6, 1.6),
    )
    clearance: float = setting(
        0.2, "Gap round the die in its seat, per side", unit="mm", low=0, high=2, normal=(0.1, 0.3)
    )
    chamfer: float = setting(
        0.4,
        "Chamfer of the seat's mouth, so that the die slips in (common practice)",
        unit="mm",
        low=0,
        high=3,
        normal=(0, 0.8),
    )
    key: bool = setting(False, "A tab on the right side: the plate goes into a corner gauge in one way only")
    rim: float = setting(2.0, "Width of the wall round the seat", unit="mm", low=0.4, high=20, normal=(1.2, 3))
    grooves: bool = setting(True, "Grooves that take up surplus glue")
    groove_width: float = setting(1.0, "Width of a glue groove", unit="mm", low=0.2, high=10, normal=(0.8, 1.5))
    groove_depth: float = setting(0.4, "Depth of a glue groove", unit="mm", low=0.05, high=5, normal=(0.2, 0.6))
    groove_spacing: float = setting(6.0, "Distance from groove to groove", unit="mm", low=0.5, high=100, normal=(4, 10))
    walls: int = setting(3, "Outlines printed round each layer", low=1, high=50, normal=(2, 4))
    infill: float = setting(0.4, "Share of the inside that is filled", low=0, high=1, normal=(0.2, 1))


@dataclass(frozen=True, kw_only=True)
class CushionSection(Section):
    """An optional soft sheet between die and backing; it is cut, not printed."""

    thickness: float = setting(0.0, "Thickness of the sheet; 0 for none", unit="mm", low=0, high=20, normal=(1, 4))
    stiffness: float = setting(
        0.6,
        "Stiffness of the cushion: Young's modulus of cellular rubber sheet (assumed)",
        unit="MPa",
        low=0.01,
        high=1000,
        normal=(0.2, 2),
    )


@dataclass(frozen=True, kw_only=True)
class HandleSection(Section):
    """What the hand holds."""

    form: str = setting(
        "knob",
        "Form of the handle",
        choices={
            "knob": "Round, for the palm",
            "grip": "A bar with a waist, for the fist",
            "block": "Follows the base, straight up",
            "turned": "Your own profile, turned about its axis",
            "straight": "Your own outline, straight up",
            "none": "No handle",
        },
    )
    material: str = setting("pla", "Filament of the handle", choices=FILAMENTS)
    height: float = setting(45.0, "Height over the backing", unit="mm", low=5, high=250, normal=(25, 110))
    grip_width: float = setting(
        38.0,
        "Across the part that the fingers close round (power grip 32 to 51 mm, about 38 best)",
        unit="mm",
        low=5,
        high=200,
        normal=(25, 51),
    )
    neck_width: float = setting(
        22.0, "Across the narrowest part of a knob or grip", unit="mm", low=4, high=200, normal=(16, 35)
    )
    edge_radius: float = setting(2.0, "Rounding of the upper edge", unit="mm", low=0, high=30, normal=(1, 5))
    profile: tuple[Point, ...] = setting(
        (), "Profile of a turned handle: (radius, height) from the foot up", kind="points", unit="mm"
    )
    outline: tuple[Point, ...] = setting(
        (),
        "Outline of a straight handle, paper frame; the middle of its bounds stands on the base's middle",
        kind="points",
        unit="mm",
    )
    hollow: bool = setting(
        False, "Hollow the handle from below: saves a third of one that is printed full, little of a sparse one"
    )
    hollow_wall: float = setting(3.0, "Wall left by hollowing", unit="mm", low=0.8, high=50, normal=(2, 5))
    up_mark: bool = setting(True, "Mark which side is up")
    index: str = setting(
        "sunk",
        "Small picture of the impression on the top",
        choices={
            "sunk": "Cut into the top",
            "raised": "Standing on the top",
            "none": "A plain top",
        },
    )
    index_depth: float = setting(0.6, "Depth or height of the index", unit="mm", low=0.1, high=5, normal=(0.4, 1))
    walls: int = setting(3, "Outlines printed round each layer", low=1, high=50, normal=(2, 4))
    infill: float = setting(0.15, "Share of the inside that is filled", low=0, high=1, normal=(0.1, 0.4))
