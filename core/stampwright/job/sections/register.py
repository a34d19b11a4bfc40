"""The settings by which the inks of a set land in one place; a section of the job."""

from __future__ import annotations

from dataclasses import dataclass

from ..settings import Section, setting


@dataclass(frozen=True, kw_only=True)
class RegisterSection(Section):
    """How several dies are held in register on the sheet, how far they miss, and the trap that hides it."""

    gauge: bool = setting(True, "A printed corner gauge, into which every backing of the set fits in one way only")
    clearance: float = setting(
        0.15,
        "Gap round a backing in the gauge, per side (a sliding fit of a desktop printer; common practice)",
        unit="mm",
        low=0.02,
        high=2,
        normal=(0.1, 0.3),
    )
    sheet: float = setting(
        0.1, "How far a sheet may lie off the gauge's stops (assumed)", unit="mm", low=0, high=5, normal=(0, 0.3)
    )
    inset: float = setting(
        12.0,
        "From the sheet's edges at the gauge's stops to the base of the stamp",
        unit="mm",
        low=0,
        high=150,
        normal=(5, 40),
    )
    by_hand: float = setting(
        0.6,
        "How far one impression misses another that is placed by eye, without a gauge (assumed)",
        unit="mm",
        low=0,
        high=5,
        normal=(0.3, 1.5),
    )
    measured: float = setting(
        0.0,
        "How far impressions of yours miss each other, measured on prints; 0 takes what gauge or hand give",
        unit="mm",
        low=0,
        high=5,
        normal=(0, 1),
    )
    trap: float = setting(
        0.0,
        "How far the lighter ink runs under the darker where they meet; 0 takes the likely misregister",
        unit="mm",
        low=0,
        high=5,
        normal=(0.1, 0.6),
    )
    trapped: bool = setting(True, "Trap the inks; without it white gaps show wherever they miss")
    marks: bool = setting(False, "Register marks left and right of the art, printed by every die of the set")
    mark_size: float = setting(3.0, "Across a register mark", unit="mm", low=1, high=20, normal=(2, 5))
