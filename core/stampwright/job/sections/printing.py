"""The settings of printing: how the printer lays material, and what that costs."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ...errors import JobError
from ..settings import Section, limits_of, setting

CURRENCY = "currency"
"""Stands in a unit for the currency that the job names."""


@dataclass(frozen=True, kw_only=True)
class PrinterSection(Section):
    """The printer and how it lays material; backing and handle may have nozzle, line and layer of their own."""

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
    hard_nozzle: float = setting(
        0.0, "Bore of the nozzle for backing and handle; 0 for the die's", unit="mm", low=0, high=2, normal=(0, 0.8)
    )
    hard_line_ratio: float = setting(
        0.0, "Line width of backing and handle, in bores; 0 for the die's", low=0, high=2, normal=(0, 1.2)
    )
    hard_layer: float = setting(
        0.0,
        "Layer height of backing and handle: thicker layers save hours where nothing prints; 0 for the die's",
        unit="mm",
        low=0,
        high=1,
        normal=(0, 0.3),
    )
    brim: float = setting(
        0.0,
        "Brim round each part, so that it stays on the bed; 0 for none",
        unit="mm",
        low=0,
        high=50,
        normal=(0, 8),
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
    size_across: float = setting(
        100.0,
        "Size at which a die comes off the printer from left to right, of its file's; the file makes up for it",
        unit="%",
        low=95,
        high=105,
        normal=(99, 101),
    )
    size_up: float = setting(
        100.0,
        "Size at which a die comes off the printer from front to back, of its file's; the file makes up for it",
        unit="%",
        low=95,
        high=105,
        normal=(99, 101),
    )

    @property
    def line_width(self) -> float:
        """Width of one extruded line, mm."""
        return self.nozzle * self.line_ratio

    @property
    def grows(self) -> tuple[float, float]:
        """How many times as large as its file a die comes off the printer, across and up."""
        return self.size_across / 100.0, self.size_up / 100.0

    @property
    def hard(self) -> PrinterSection:
        """The printer as it prints backing and handle."""
        return replace(
            self,
            nozzle=self.hard_nozzle or self.nozzle,
            line_ratio=self.hard_line_ratio or self.line_ratio,
            layer=self.hard_layer or self.layer,
            hard_nozzle=0.0,
            hard_line_ratio=0.0,
            hard_layer=0.0,
        )

    def __post_init__(self) -> None:
        """Check every setting, and that the hard parts' own can be printed; raises :class:`JobError`."""
        super().__post_init__()
        for name in ("nozzle", "line_ratio", "layer"):
            low, high = limits_of(PrinterSection, name)
            value = getattr(self, f"hard_{name}")
            if 0.0 < value < low:
                raise JobError(
                    f"printer.hard_{name} = {value:g} is not allowed: it takes {low:g} to {high:g}, or 0 for the "
                    f"same as printer.{name}"
                )


@dataclass(frozen=True, kw_only=True)
class PriceSection(Section):
    """What filament costs, and what a stamp is sold for: filament, machine and hands, and a margin on all of it."""

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
    machine_per_hour: float = setting(
        0.5,
        "What an hour of a printer costs: wear, power, room",
        unit=f"{CURRENCY}/h",
        low=0,
        high=10000,
        normal=(0.2, 5),
    )
    hand_minutes: float = setting(
        15.0,
        "Work by hand on one stamp: gluing, dressing, a first print, packing",
        unit="min",
        low=0,
        high=6000,
        normal=(5, 60),
    )
    hand_per_hour: float = setting(
        20.0, "What an hour by hand costs", unit=f"{CURRENCY}/h", low=0, high=100000, normal=(10, 80)
    )
    margin: float = setting(
        0.3, "Added to all that a stamp costs, as a share of it", low=0, high=100, normal=(0.1, 2), share=True
    )
