"""The signs of findings, and bars that show a length, as marks of a sketch."""

from __future__ import annotations

from collections.abc import Iterator

from shapely.geometry import Polygon

from ...findings import Severity
from ...looks.colours import INK, PAPER, QUIET, SEVERITY
from ...looks.signs import sign_corners
from ..sketches.marks import DrawnLine, Fill, SketchMark, Words

SIGN = 1.9
"""Size of a sign, mm; it is about twice as large across."""

_RIM = 0.3  # of paper round a sign on ink, mm


def sign_marks(severity: Severity, number: int, x: float, y: float, *, on_ink: bool = False) -> Iterator[SketchMark]:
    """Yield a finding's sign with its number: filled where it blocks, so that the gravest stand out.

    ``on_ink``: on a rim of paper, for it may lie on ink.
    """
    colour, filled = SEVERITY[severity], severity == "blocks"
    corners = [(x + SIGN * right, y - SIGN * up) for right, up in sign_corners(severity)]
    if on_ink:
        yield Fill(Polygon(corners).buffer(_RIM, join_style="mitre"), PAPER)
    yield Fill(Polygon(corners), colour)
    if not filled:
        yield Fill(Polygon(corners).buffer(-0.35), PAPER)
    size = 1.9 if number < 10 else 1.6 if number < 100 else 1.2
    drop = 0.85 if severity == "warns" else 0.36 * size
    yield Words(x, y + drop, str(number), size, PAPER if filled else colour, "middle")


def bar_marks(x: float, y: float, length: float, told: str) -> Iterator[SketchMark]:
    """Yield a bar ``length`` mm long on the sheet, with what it is told to be over its right end."""
    yield DrawnLine(((x, y - 1), (x, y + 1)), INK, 0.2)
    yield DrawnLine(((x, y), (x + length, y)), INK, 0.2)
    yield DrawnLine(((x + length, y - 1), (x + length, y + 1)), INK, 0.2)
    yield Words(x + length + 1.5, y + 0.9, told, 2.5, QUIET)
