"""The settings by which artwork is examined, and mended; a section of the job."""

from __future__ import annotations

from dataclasses import dataclass

from ..kinds import KINDS
from ..settings import Point, Section, setting


@dataclass(frozen=True, kw_only=True)
class PreflightSection(Section):
    """What the artwork is examined for, and what is mended without redrawing."""

    block_lines: float = setting(
        1.0,
        "Ink narrower than this many line widths blocks: the printer lays no such line",
        low=0,
        high=10,
        normal=(0.8, 1.5),
    )
    warn_lines: float = setting(
        2.0,
        "Ink narrower than this many line widths warns: one bead only, weak and uneven",
        low=0,
        high=10,
        normal=(1.5, 3),
    )
    least_gap: float = setting(
        0.0,
        "Gaps narrower than this close in print; 0 for twice the ink spread, which closes them in any case",
        unit="mm",
        low=0,
        high=5,
        normal=(0.2, 0.6),
    )
    speck: float = setting(
        0.0,
        "Islands of ink whose smallest enclosing circle is smaller than this tear off; 0 for two line widths",
        unit="mm",
        low=0,
        high=10,
        normal=(0.6, 2),
    )
    dot: float = setting(
        2.0,
        "Islands of ink smaller than this are dots that should not stand alone",
        unit="mm",
        low=0,
        high=20,
        normal=(1.5, 3),
    )
    isolation: float = setting(
        6.0,
        "A small dot with no ink within this distance takes the whole push and may pierce the paper",
        unit="mm",
        low=0,
        high=100,
        normal=(4, 12),
    )
    cover: float = setting(
        0.6,
        "Share of the base covered by ink above which the stamp is hard to press evenly",
        low=0.05,
        high=1,
        normal=(0.4, 0.7),
    )
    points_per_mm: float = setting(
        50.0,
        "Outline points per mm above which the drawing is finer than any printer",
        unit="1/mm",
        low=1,
        high=10000,
        normal=(30, 100),
    )
    most_points: int = setting(
        150_000,
        "Outline points that are built: finer outlines are thinned to within 0.002 mm, and refused if too many stay",
        low=1_000,
        high=5_000_000,
        normal=(100_000, 500_000),
    )
    repair: bool = setting(False, "Repair what blocks or warns before building")
    repair_at: tuple[Point, ...] = setting(
        (),
        "Repair only here: one point per finding, mm from the base's centre, as it prints",
        kind="points",
        unit="mm",
    )
    repair_lines: bool = setting(True, "On repair: thicken what is too thin")
    repair_by: str = setting(
        "outlines",
        "On repair: how lines are made to print",
        choices={
            "outlines": "Outlines move as little as it takes",
            "middle-lines": "Line art is redrawn along its middle lines, all at one width",
        },
    )
    repair_to: str = setting(
        "blocks",
        "On repair: how far thin lines are widened",
        choices={
            "blocks": "To what the printer lays at least; thick and thin stay apart",
            "warns": "On to what no longer warns, where there is room",
        },
    )
    repair_gaps: bool = setting(True, "On repair: open what is too narrow")
    repair_specks: str = setting(
        "grow",
        "On repair: what becomes of specks",
        choices={
            "grow": "Grow them until they hold",
            "drop": "Leave them out",
            "keep": "Leave them as they are",
        },
    )
    repair_spikes: bool = setting(True, "On repair: round hair-thin spikes")
    accept: tuple[str, ...] = setting(
        (), "Kinds of finding that warn where they would block", kind="names", choices=KINDS
    )
