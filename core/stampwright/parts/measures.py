"""What a part measures, weighs, costs and how long it prints; the last is an estimate from its sections.

The model: a printed layer has its outlines laid ``walls`` times round, solid skin where fewer than ``SKIN_LAYERS``
layers of the part lie over or under it, and sparse lines inside. Section areas and outline lengths at mid-layer give
the area of each; the whole is scaled so that a full part has exactly its volume. Lines are laid at the job's speed, or
as fast as the filament melts if that is less, and each layer costs a pause. Supports and brim are left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..job.materials import FILAMENT_DIAMETER, Material
from ..job.sections.printing import PrinterSection
from ..solids import Solid, measure_sections

SKIN_LAYERS = 4
"""Solid layers over and under a sparse inside (common practice)."""

PAUSE = 3.0
"""Time that each layer costs besides its lines, s: moving up, travelling, slowing in corners (assumed)."""


@dataclass(frozen=True, kw_only=True)
class Measures:
    """One part's measures.

    ``size``: width, depth, height, mm; ``volume``: of the solid, mm³; ``area``: of its surface, mm²;
    ``printed_volume``: of the filament in it, mm³; ``mass``: g; ``filament_length``: mm; ``cost``: in the currency of
    the price; ``layers``: how many; ``minutes``: printing time, an estimate by this module's model.
    """

    material: str
    size: tuple[float, float, float]
    volume: float
    area: float
    printed_volume: float
    mass: float
    filament_length: float
    cost: float
    layers: int
    minutes: float


def measure(
    solid: Solid, *, material: Material, printer: PrinterSection, walls: int, infill: float, price_per_kg: float
) -> Measures:
    """Measure one solid as it stands on the bed.

    ``walls``: outlines laid round each layer; ``infill``: filled share of the inside, 0 to 1; ``price_per_kg``: of the
    filament. See the module for the model.
    """
    low, high = solid.bounds
    layers = max(1, math.ceil(float(high[2] - low[2]) / printer.layer - 1e-6))
    middles = low[2] + (np.arange(layers) + 0.5) * float(high[2] - low[2]) / layers
    areas, outlines = measure_sections(solid, middles)
    wall = np.minimum(areas, outlines * walls * printer.line_width)
    skin = np.minimum(areas - wall, areas - _covered(areas))
    laid = wall + skin + infill * (areas - wall - skin)
    volume = solid.volume
    printed = volume * float(laid.sum() / areas.sum()) if areas.sum() > 0 else volume
    mass = printed * material.density / 1000.0
    return Measures(
        material=material.key,
        size=(float(high[0] - low[0]), float(high[1] - low[1]), float(high[2] - low[2])),
        volume=volume,
        area=solid.area,
        printed_volume=printed,
        mass=mass,
        filament_length=printed / (math.pi / 4 * FILAMENT_DIAMETER**2),
        cost=mass / 1000.0 * price_per_kg,
        layers=layers,
        minutes=_minutes(printed, layers, material, printer),
    )


def in_hours(minutes: float) -> str:
    """Say minutes as people do, to the minute; less than one is one.

    >>> in_hours(131.2)
    '2 h 11 min'
    """
    hours, rest = divmod(max(1, round(minutes)), 60)
    return f"{hours} h {rest:02d} min" if hours else f"{rest} min"


def _covered(areas: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how much of each layer has ``SKIN_LAYERS`` layers over and under it; sections shall lie in each other."""
    padded = np.concatenate((np.zeros(SKIN_LAYERS), areas, np.zeros(SKIN_LAYERS)))
    windows = np.lib.stride_tricks.sliding_window_view(padded, 2 * SKIN_LAYERS + 1)
    covered: NDArray[np.float64] = windows.min(axis=1)
    return covered


def minutes_of(
    printed: float, layers: int, material: Material, *, line: float, layer: float, speeds: tuple[float, float]
) -> float:
    """Return how long a part prints, minutes, by this module's model.

    ``printed``: volume of its filament, mm³; ``line``, ``layer``: width and height of a line, mm; ``speeds``: of
    flexible and of hard filament, mm/s.
    """
    flow = min(speeds[0 if material.flexible else 1] * line * layer, material.volume_rate)
    return (printed / flow + layers * PAUSE) / 60.0


def _minutes(printed: float, layers: int, material: Material, printer: PrinterSection) -> float:
    speeds = printer.speed_flexible, printer.speed_rigid
    return minutes_of(printed, layers, material, line=printer.line_width, layer=printer.layer, speeds=speeds)
