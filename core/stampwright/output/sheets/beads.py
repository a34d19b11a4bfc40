"""What the beads of a sliced die print, large, with all that was found numbered and told under it."""

from __future__ import annotations

from collections.abc import Sequence

from shapely.geometry import MultiPolygon, Polygon

from ...findings import Finding, gathered
from ...looks.colours import QUIET
from ..sketches.marks import Sketch, stacked
from .figure import found_figure
from .signs import SIGN, sign_marks
from .writing import Column

MOST_TOLD = 4
"""Findings of one kind that are told; the others are numbered, and counted."""

_WIDE, _EDGE = 190.0, 8.0  # of the sheet, mm
_TYPE = 3.2
_INDENT = 7.0


def beads_sketch(
    printed: MultiPolygon, base: Polygon, findings: Sequence[Finding], told: Sequence[str], *, title: str
) -> Sketch:
    """Return a sheet: what is printed on its base, mm, paper frame, what was found, and ``told`` lines above."""
    head = Column(_WIDE)
    head.write(title, 5.0, heading=True)
    for line in told:
        head.write(line, _TYPE, colour=QUIET)
    listed = Column(_WIDE)
    for number, alike in enumerate(gathered(findings), start=1):
        listed.put(sign_marks(alike[0].severity, number, SIGN, listed.down + _TYPE))
        for finding in alike[:MOST_TOLD]:
            listed.write(f"{finding.kind}: {finding.message}", _TYPE, x=_INDENT)
        if len(alike) > MOST_TOLD:
            listed.write(f"... and {len(alike) - MOST_TOLD} more of: {alike[0].kind}", _TYPE, x=_INDENT, colour=QUIET)
        if alike[0].remedy:
            listed.write(alike[0].remedy, _TYPE, x=_INDENT, colour=QUIET)
        listed.down += 1.5
    figure = found_figure(printed, base, findings, _WIDE)
    return stacked([head.sketch(), figure, listed.sketch()], 4.0, _EDGE)
