"""The settings of printing: how the printer lays material, and what that costs."""

from __future__ import annotations

from dataclasses import dataclass

from ..settings import Section, setting

CURRENCY = "currency"
"""Stands in a unit for the currency that the job names."""


@dataclass(frozen=True, kw_only=True)
class PrinterSection(Section):
    """The printer and how it lays material."""

    nozzle: float = setting(0.4, "Bore of the nozzle", unit="mm", low=0.1, high=2, normal=(0.25, 0.8))
    line_ratio: float = setting(
        1.0,
        "Width of one line of filament, as a multiple of the nozzle's bore; 1 is the usual start",
        low=0.6,
        high=2,
        normal=(1, 1.2),
    )
    layer: float = setting(
        0.2, "Layer height; heights are whole layers", unit="mm", low=0.04, high=1, normal=(0.1, 0.3)
    )
    bed_width: float = setting(220.0, "Width of the bed", unit="mm", low=50, high=2000, normal=(180, 350))
    bed_depth: float = setting(220.0, "Depth of the bed", unit="mm", low=50, high=2000, normal=(180, 350))
    bed_height: float = setting(
        250.0, "Height that the printer can build", unit="mm", low=50, high=2000, normal=(180, 400)
    )
    speed_flexible: float = setting(
        20.0,
        "Speed for flexible filament; slow, or it buckles in the feed",
        unit="mm/s",
        low=1,
        high=300,
        normal=(15, 30),
    )
    speed_rigid: float = setting(60.0, "Speed for hard filament", unit="mm/s", low=1, high=1000, normal=(40, 150))

    @property
    def line_width(self) -> float:
        """Width of one extruded line, mm."""
        return self.nozzle * self.line_ratio


@dataclass(frozen=True, kw_only=True)
class PriceSection(Section):
    """What filament costs."""

    currency: str = setting("EUR", "Shown beside every cost")
    die_per_kg: float = setting(
        40.0, "Price of the die's filament", unit=f"{CURRENCY}/kg", low=0, high=100000, normal=(25, 80)
    )
    backing_per_kg: float = setting(
        22.0, "Price of the backing's filament", unit=f"{CURRENCY}/kg", low=0, high=100000, normal=(15, 50)
    )
    handle_per_kg: float = setting(
        22.0, "Price of the handle's filament", unit=f"{CURRENCY}/kg", low=0, high=100000, normal=(15, 50)
    )
