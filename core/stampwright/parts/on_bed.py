"""The parts against the printer: each as it stands on the bed, and whether all find room there together."""

from __future__ import annotations

from ..findings import Finding
from ..job.sections.printing import PrinterSection
from ..layout import examine_on_bed
from ..plane.beds import arrange
from ..solids import Solid


def examine_parts(parts: tuple[Solid | None, ...], printer: PrinterSection) -> tuple[Finding, ...]:
    """Return what stands against parts on the printer's bed, one by one and together.

    ``parts``: as they are printed, those that there are. Their outlines are tried in any turn, with their brim.
    """
    printed = [solid for solid in parts if solid is not None]
    found: list[Finding] = []
    for solid in printed:
        height = float(solid.bounds[1][2] - solid.bounds[0][2])
        found += examine_on_bed(solid.name, solid.vertices[:, :2], height, printer)
    if any(finding.severity == "blocks" for finding in found):
        return tuple(found)
    bed = printer.bed_width, printer.bed_depth
    beds = 1 + max(spot.bed for spot in arrange([solid.vertices[:, :2] for solid in printed], bed, printer.brim))
    if beds > 1:
        found.append(
            Finding(
                kind="more than one bed",
                severity="notes",
                stage="build",
                message=f"The parts do not all find room on a bed of {bed[0]:g} x {bed[1]:g} mm: stamp.3mf has them on "
                f"{beds} beds, side by side",
                remedy="Print from the 3MF files of one filament each, which stay within the bed",
                measured=float(beds),
                limit=1.0,
                unit="beds",
            )
        )
    return tuple(found)
