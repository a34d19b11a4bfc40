"""The printer's room: whether base and parts, as they stand on the bed, are within what it can build."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from ..findings import Finding, Stage
from ..job.sections.printing import PrinterSection
from ..plane.beds import fit_on_bed

OFF_BED = "larger than the printer"
ASKEW = "askew on the bed"


def examine_on_bed(
    name: str, points: NDArray[np.float64], height: float, printer: PrinterSection, *, stage: Stage = "build"
) -> tuple[Finding, ...]:
    """Return what stands against a part on the printer's bed, with its brim, and that it has to be turned to fit.

    ``points``: (n, 2) float, mm, of what stands over the bed; ``height``: of the part, mm.
    """
    found = [_across(name, points, printer, stage)]
    if height > printer.bed_height + 1e-6:
        high = f"The {name} is {height:.1f} mm high; the printer builds {printer.bed_height:g} mm, no more would fit"
        found.append(
            Finding(
                kind=OFF_BED,
                severity="blocks",
                stage=stage,
                message=high,
                remedy=f"Make the {name} {printer.bed_height:g} mm high or less, or raise printer.bed_height",
                measured=round(height, 3),
                limit=printer.bed_height,
            )
        )
    return tuple(each for each in found if each is not None)


def _across(name: str, points: NDArray[np.float64], printer: PrinterSection, stage: Stage) -> Finding | None:
    width, depth = (float(np.ptp(points[:, axis])) for axis in (0, 1))
    bed = printer.bed_width, printer.bed_depth
    brim = f" with a brim of {printer.brim:g} mm" if printer.brim else ""
    size, room = f"The {name} is {width:.1f} x {depth:.1f} mm{brim}", f"{bed[0]:g} x {bed[1]:g} mm"
    fit = fit_on_bed(points, bed, printer.brim)
    if not fit.fits:
        would = f"{_sized(width, depth, fit.scale)}, {_downwards(100.0 * fit.scale):g} % of it, would fit"
        return Finding(
            kind=OFF_BED,
            severity="blocks",
            stage=stage,
            message=f"{size}; the bed is {room}: {would}",
            remedy="Use a smaller base or handle, or a larger printer (printer.bed_width, printer.bed_depth)",
            measured=round(max(width, depth), 3),
            limit=_downwards(max(width, depth) * fit.scale),
        )
    if fit.turn in (0.0, 90.0):
        return None
    return Finding(
        kind=ASKEW,
        severity="notes",
        stage=stage,
        message=f"{size} and fits the bed of {room} only askew, turned by {fit.turn:g}°",
        remedy="Print it from the 3MF file, where it is turned",
        measured=fit.turn,
        unit="deg",
    )


def _sized(width: float, depth: float, scale: float) -> str:
    return f"{_downwards(width * scale):g} x {_downwards(depth * scale):g} mm"


def _downwards(size: float) -> float:
    return math.floor(size * 10.0 + 1e-6) / 10.0
