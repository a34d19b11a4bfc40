"""A toolpath held against its job: whether it is this die, the right way round, as large, as high, of its filament."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...findings import Finding, Severity
from ...job.materials import MATERIALS, Material
from ...looks.numbers import percent
from ..expected import Expected
from ..laid.plate import Thing
from ..moves import ToldMoves
from .placing import Placing

SIZE_OFF, SIZE_WRONG = 0.002, 0.005
"""Shares by which a size may be off before it warns, and before it blocks: half a per cent of 50 mm is the clearance of
a seat."""

STRANGE = 0.4
"""Overlap with the face meant, below which a file is of another die."""

SHIFTED = 0.3
"""How far the face may lie off its place on the base, mm."""

DEGREES = 10.0
"""How far a nozzle's temperature may lie outside its filament's range: brands differ (assumed)."""

BED_DEGREES = 15.0
RUSH = 1.15
"""Share of a filament's greatest rate from which on a file is too fast for it."""

LINE_OFF = 1.6
"""How many times wider or narrower than the job's lines beads may be on the whole: a line ratio of 0.6 to 1.6."""


def compare_place(placing: Placing, face_on_base: float | None) -> Iterator[Finding]:
    """Yield how the face lies on the one meant; ``face_on_base``: how far it lies off its place on the base, mm."""
    if placing.overlap < STRANGE:
        yield _finding(
            "another die",
            "blocks",
            f"The face is none of this job: at best they have {percent(placing.overlap)} in common",
            "Name the job of this die, or slice this job's die",
            measured=placing.overlap,
            limit=STRANGE,
            unit="",
        )
        return
    if placing.mirrored:
        yield _finding(
            "mirrored",
            "blocks",
            "The plate is mirrored: the stamp would print reversed",
            "Slice the die as it is in its file, without mirroring; it is reversed once already",
        )
    off = max((size - 1 for size in placing.size), key=abs)
    if abs(off) > SIZE_OFF:
        x, y = placing.size
        said = percent(x, 2) if abs(x - y) < SIZE_OFF / 2 else f"{percent(x, 2)} wide and {percent(y, 2)} high"
        yield _finding(
            "wrong size",
            "blocks" if abs(off) > SIZE_WRONG else "warns",
            f"The die is sliced at {said} of its size",
            "Slice it at 100 %, unless that allows for shrinking",
            measured=1 + off,
            limit=1.0,
            unit="",
        )
    if face_on_base is not None and face_on_base > SHIFTED:
        yield _finding(
            "face off its place",
            "blocks",
            f"The face lies {face_on_base:.2f} mm off its place on the base: layers have shifted",
            "Slice the die again",
            measured=face_on_base,
            limit=SHIFTED,
        )


def compare_height(thing: Thing, expected: Expected) -> Iterator[Finding]:
    """Yield whether a thing is as high as the die."""
    off = thing.layers[-1].top - expected.height
    if abs(off) > 0.6 * max(thing.pitch, expected.layer):
        yield _finding(
            "wrong height",
            "blocks",
            f"The die is laid {thing.layers[-1].top:.2f} mm high and shall be {expected.height:.2f} mm",
            "Slice it at its own size, whole, standing on the bed",
            measured=thing.layers[-1].top,
            limit=expected.height,
        )


def compare_line(width: float, expected: Expected) -> Iterator[Finding]:
    """Yield whether beads are about as wide as the job's lines; ``width``: the usual one on the face, mm."""
    if not expected.line / LINE_OFF <= width <= expected.line * LINE_OFF:
        yield _finding(
            "wrong line width",
            "warns",
            f"Beads are {width:.2f} mm wide on the whole; the job is for lines of {expected.line:.2f} mm",
            "Slice for the job's nozzle, or make the stamp for this one (printer.nozzle)",
            measured=width,
            limit=expected.line,
        )


def compare_material(told: ToldMoves, rates: NDArray[np.float32], others: int, expected: Expected) -> Iterator[Finding]:
    """Yield whether a file is for the die's filament: its temperatures, how fast it lays, and what else it prints.

    ``rates``: mm³/s, of each bead; ``others``: how many other things of the same tool stand on the plate.
    """
    material = expected.material
    hot = max(told.nozzle, default=0.0)
    low, high = material.nozzle
    warm = max(told.bed, default=0.0)
    if hot and not low - DEGREES <= hot <= high + DEGREES:
        yield _wrong(material, f"the nozzle is heated to {hot:g} °C, {material.label} takes {low} to {high}", hot)
    elif warm > material.bed[1] + BED_DEGREES:
        yield _wrong(
            material, f"the bed is heated to {warm:g} °C, {material.label} takes up to {material.bed[1]}", warm
        )
    rate = float(np.percentile(rates, 95)) if len(rates) else 0.0
    if rate > RUSH * material.volume_rate:
        yield _finding(
            "too fast for its filament",
            "warns",
            f"{rate:.1f} mm³/s are asked for; {material.label} takes {material.volume_rate:g}",
            "Slice with the profile of the die's filament, or more slowly",
            measured=rate,
            limit=material.volume_rate,
            unit="mm³/s",
        )
    if others and expected.alone:
        yield _finding(
            "wrong material",
            "warns",
            f"{others + 1} things of the same filament stand on the plate; only the die is of {material.label}",
            "Print the die alone; backing and handle are of another filament",
            measured=float(others),
            unit="",
        )


def _wrong(material: Material, why: str, measured: float) -> Finding:
    fits = [other.label for other in MATERIALS.values() if other.nozzle[0] <= measured <= other.nozzle[1]]
    return _finding(
        "wrong material",
        "warns",
        f"The file is hardly for {material.label}: {why}" + (f"; it suits {', '.join(fits)}" if fits else ""),
        "Slice with the profile of the die's filament",
        measured=measured,
        unit="°C",
    )


def compare_bed(bounds: Sequence[float], expected: Expected) -> Iterator[Finding]:
    """Yield whether a thing reaches past the bed's corner or edges; beds with their zero in the middle are taken so."""
    left, front, right, back = bounds
    width, depth = expected.bed
    inside = left >= 0 and front >= 0 and right <= width and back <= depth
    middle = max(-left, right) <= width / 2 and max(-front, back) <= depth / 2
    if not (inside or middle):
        yield _finding(
            "off the bed",
            "warns",
            f"Beads lie from {left:.0f}, {front:.0f} to {right:.0f}, {back:.0f} mm; "
            f"the job's bed is {width:g} x {depth:g} mm",
            "Slice for your printer, and state its bed (printer.bed_width)",
        )


def _finding(kind: str, severity: Severity, message: str, remedy: str, **measures: Any) -> Finding:
    return Finding(kind=kind, severity=severity, stage="build", message=message, remedy=remedy, **measures)
