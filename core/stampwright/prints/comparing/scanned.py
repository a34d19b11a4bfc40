"""What a scan itself keeps from being told of a print: cut off, of another size, too coarse, another thing beside."""

from __future__ import annotations

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
    findings = []
    if each.cut_off > NOTABLE:
        findings.append(
            Finding(
                kind="print cut off",
                severity="warns",
                stage="impression",
                message=f"{percent(each.cut_off, 1)} of the face lies beyond the edge of the picture, and is not "
                "judged",
                remedy="Scan the whole print, with a margin round it.",
                measured=each.cut_off,
                limit=0.0,
                unit="",
            )
        )
    return [*findings, *_about_size(each, face), *_about_edges(each), *_about_others(each)]


def _about_size(each: PrintDifferences, face: MultiPolygon) -> list[Finding]:
    dpi = each.registered.scan.dpi
    if dpi is None or not is_of_another_size(size := sizes(each.registered.view, face, dpi)):
        return []
    return [
        Finding(
            kind="print of another size",
            severity="warns",
            stage="impression",
            message=f"by its {dpi[0]:.0f} dpi the print is {percent(size[0], 1)} as wide and {percent(size[1], 1)} as "
            "high as its die",
            remedy="Say the resolution if the file's is wrong (--dpi); otherwise measure the die: it shrank.",
        )
    ]


def _about_edges(each: PrintDifferences) -> list[Finding]:
    registered = each.registered
    if registered.unsure <= MORE_SPREAD:
        return []
    least = max(registered.spread - registered.unsure, 0.0)
    return [
        Finding(
            kind="spread uncertain",
            severity="warns",
            stage="impression",
            message=f"the ink spreads by {least:.2f} mm to {registered.spread:.2f} mm: the edges in the scan are too "
            "coarse to say by how much",
            remedy="Scan at 600 dpi, in greys or colours, without sharpening.",
            measured=registered.unsure,
            limit=MORE_SPREAD,
        )
    ]


def _about_others(each: PrintDifferences) -> list[Finding]:
    findings = []
    if each.elsewhere:
        findings.append(
            Finding(
                kind="other things in the picture",
                severity="notes",
                stage="impression",
                message="another thing is in the picture, farther off: no print of this stamp, and not compared"
                if each.elsewhere == 1
                else f"{each.elsewhere} other things are in the picture, farther off: no prints of this stamp, and not "
                "compared",
                remedy="Prints of other stamps are compared with the folders of those.",
                measured=float(each.elsewhere),
                unit="",
            )
        )
    if each.recoloured:
        findings.append(
            Finding(
                kind="another colour left out",
                severity="notes",
                stage="impression",
                message="what is there in another colour than the print's is left out: the paper's own lines, a pen",
                remedy="Stamp on plain paper, where the print itself has two colours.",
            )
        )
    return findings
