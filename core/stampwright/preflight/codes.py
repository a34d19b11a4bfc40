"""Codes judged: whether printer and ink leave a reader enough of each module."""

from __future__ import annotations

from collections.abc import Iterable

from ..artwork.artwork import Code
from ..findings import Finding
from ..job.kinds import FINE_CODE, STRANGE_CODE
from .limits import PrintLimits

EAN_MODULES = (0.264, 0.66)
"""Narrowest bar of an EAN-13 at 80 % and at 200 %, mm (GS1 General Specifications)."""

MOST_SPREAD = {"qr": 0.25, "code 128": 0.25, "ean 13": 0.15}
"""Spread per edge, in modules, up to which a symbol without other faults is read; measured with an open reader."""


def check_codes(codes: Iterable[Code], limits: PrintLimits) -> tuple[Finding, ...]:
    """Return findings on codes against what the printer lays and the ink leaves open.

    A module must be as wide as the printer's lines, and so wide that the ink's spread leaves a reader enough of it.
    ``codes``: at their final size, paper frame, mm.
    """
    return tuple(finding for code in codes for finding in _check_code(code, limits))


def _check_code(code: Code, limits: PrintLimits) -> list[Finding]:
    module, line, spread = code.module, limits.extrusion, limits.spread
    name = {"qr": "QR symbol", "code 128": "Code 128", "ean 13": "EAN-13"}[code.symbology]
    by_printer = limits.line_blocks
    by_ink = spread / MOST_SPREAD[code.symbology]
    least, good = max(by_printer, by_ink), max(limits.line_warns, 1.5 * by_ink)
    findings = []
    if module < good - 1e-9:
        why = f"the printer's line is {line:g} mm wide" if by_printer >= by_ink else f"ink spreads by {spread:g} mm"
        blocks = module < least - 1e-9
        findings.append(
            Finding(
                kind=FINE_CODE,
                severity="blocks" if blocks else "warns",
                stage="preflight",
                message=f"The {name}'s module of {module:.3g} mm {'is' if blocks else 'may be'} too small: {why}.",
                remedy=f"Make its module {good:.2f} mm or more on the stamp.",
                place=code.place,
                measured=module,
                limit=least if blocks else good,
            )
        )
    low, high = EAN_MODULES
    if code.symbology == "ean 13" and not low <= module <= high:
        findings.append(
            Finding(
                kind=STRANGE_CODE,
                severity="notes",
                stage="preflight",
                message=f"An EAN-13 has modules of {low:g} to {high:g} mm; this one has {module:.3g} mm.",
                remedy="Shops may refuse it; for use of your own it reads all the same.",
                place=code.place,
                measured=module,
                limit=high if module > high else low,
            )
        )
    return findings
