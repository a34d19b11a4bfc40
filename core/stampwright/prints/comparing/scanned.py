"""What a scan itself keeps from being told of a print: cut off, of another size, too coarse, another thing beside."""

from __future__ import annotations

from dataclasses import replace

from shapely.geometry import MultiPolygon

from ...findings import Finding
from ...looks.numbers import percent
from .differences import PrintDifferences
from .holding import is_of_another_size, sizes

NOTABLE = 0.004
"""Share of the face, from which on places of it are told of."""

MORE_SPREAD = 0.03
"""Spread more than the job's that is told of, mm."""


def about_scan(each: PrintDifferences, face: MultiPolygon) -> list[Finding]:
    """Say what a scan keeps from being told: a print cut off, another size than its resolution says, a coarse edge."""
    findings, registered = [], each.registered
    told = Finding(
        kind="print cut off",
        severity="warns",
        stage="impression",
        message=f"{percent(each.cut_off, 1)} of the face lies beyond the edge of the picture, and is not judged",
        remedy="Scan the whole print, with a margin round it.",
        measured=each.cut_off,
        limit=0.0,
        unit="",
    )
    if each.cut_off > NOTABLE:
        findings.append(told)
    dpi = registered.scan.dpi
    size = (1.0, 1.0) if dpi is None else sizes(registered.view, face, dpi)
    if dpi is not None and is_of_another_size(size):
        findings.append(
            replace(
                told,
                kind="print of another size",
                message=f"by its {dpi[0]:.0f} dpi the print is {percent(size[0], 1)} as wide and {percent(size[1], 1)} "
                "as high as its die",
                remedy="Say the resolution if the file's is wrong (--dpi); otherwise measure the die: it shrank.",
                measured=None,
                limit=None,
            )
        )
    if registered.unsure > MORE_SPREAD:
        least = max(registered.spread - registered.unsure, 0.0)
        findings.append(
            replace(
                told,
                kind="spread uncertain",
                message=f"the ink spreads by {least:.2f} mm to {registered.spread:.2f} mm: the edges in the scan are "
                "too coarse to say by how much",
                remedy="Scan at 600 dpi, in greys or colours, without sharpening.",
                measured=registered.unsure,
                limit=MORE_SPREAD,
                unit="mm",
            )
        )
    if each.elsewhere:
        findings.append(
            replace(
                told,
                kind="other things in the picture",
                severity="notes",
                message="another thing is in the picture, farther off: no print of this stamp, and not compared"
                if each.elsewhere == 1
                else f"{each.elsewhere} other things are in the picture, farther off: no prints of this stamp, and not "
                "compared",
                remedy="Prints of other stamps are compared with the folders of those.",
                measured=float(each.elsewhere),
            )
        )
    if each.recoloured:
        findings.append(
            replace(
                told,
                kind="another colour left out",
                severity="notes",
                message="what is there in another colour than the print's is left out: the paper's own lines, a pen",
                remedy="Stamp on plain paper, where the print itself has two colours.",
                measured=None,
                limit=None,
            )
        )
    return findings
