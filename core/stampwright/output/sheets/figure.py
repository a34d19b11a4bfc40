"""The art large, numbers beside every place, and short lines from the one to the other."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence

import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from ...examination import Examination
from ...findings import Finding, gathered
from ...looks.colours import INK, PAPER, RULE, SEVERITY
from ...looks.numbers import percent, spoken
from ...plane.overlays import common
from ...plane.regions import filled_parts
from ..sketches.marks import DrawnLine, InSketch, Sketch, SketchMark, Spot
from .leading import Numbering
from .signs import SIGN, bar_marks, sign_marks
from .writing import Column

MOST_NUMBERED = 10
"""Places numbered for one kind of finding; the others are ringed."""

MOST_RINGED = 2_000

TIMES = 20.0
"""Art is shown at most so many times as large."""

_GUTTER = 12.0  # on each side for numbers, mm
_TALL = 150.0  # the art at most, mm
_ROW = 4.6  # from number to number, mm
_IN_A_ROW = 30  # numbers that find room above or below the art
_AROUND = 0.06  # shown round art and places, as a share of them
_RING = 0.5  # from a place to its ring, mm on the sheet
_BAY = 2.0  # radius of the bays of a ring at least, mm on the sheet: places are rough


def art_figure(examined: Examination, width: float) -> Sketch:
    """Return the art as it was examined, ``width`` mm wide, with all that was found in it numbered by kind."""
    base, inked = examined.laid.layout.base, examined.laid.layout.inked
    return found_figure(inked, base, examined.findings, width, shown=examined.given.inked)


def found_figure(
    inked: MultiPolygon, base: Polygon, findings: Sequence[Finding], width: float, *, shown: MultiPolygon | None = None
) -> Sketch:
    """Return ink on its base, ``width`` mm wide, with all that was found in it numbered by kind; mm, paper frame.

    ``shown``: what has to find room beside the ink.
    """
    groups = gathered(findings)
    numbered, others = _numbered(groups)
    places = [finding.place for alike in groups for finding in alike if _has_place(finding)]
    field = _field([inked if shown is None else shown, inked, *places[:MOST_RINGED]])
    left, bottom, right, top = field.bounds
    scale = shown_scale([left, bottom, right, top], width - 2 * _GUTTER, _TALL)
    high = scale * (top - bottom) + 2 * _ROW * math.ceil(len(numbered) / _IN_A_ROW)
    frame = InSketch((width - scale * (left + right)) / 2.0, SIGN + high / 2.0 + scale * (top + bottom) / 2.0, scale)
    column = Column(width)
    edge = shapely.get_parts(shapely.line_merge(common(base.exterior, field)))
    column.put(DrawnLine(line, RULE, 0.18, (1.2, 0.8)) for line in _lines(edge, frame))
    column.put(frame.filled(inked, INK))
    for _, finding in others:
        column.put(ring_marks(finding, frame, quiet=True))
    for _, finding in numbered:
        column.put(ring_marks(finding, frame))
    column.put(_leading(numbered, frame, Numbering(width, high + 2 * SIGN, SIGN, filled_parts(frame.laid(inked)))))
    column.down = high + 2 * SIGN + 3.0
    column.put(bar_marks(0.0, column.down, 10.0 * scale if scale < 6 else scale, _bar_said(scale)))
    column.down += 2.5
    return column.sketch()


def _field(shown: list[BaseGeometry]) -> BaseGeometry:
    """Return the rectangle that the figure shows: what there is to see, with a little of the base round it."""
    left, bottom, right, top = shapely.total_bounds(shown).tolist()
    around = _AROUND * max(right - left, top - bottom, 1.0)
    return box(left - around, bottom - around, right + around, top + around)


def _lines(edge: Iterable[BaseGeometry], frame: InSketch) -> Iterator[tuple[Spot, ...]]:
    """Yield the lines of an edge where they come to lie."""
    for line in edge:
        if isinstance(line, LineString):
            yield tuple((x, y) for x, y in shapely.get_coordinates(frame.laid(line)).tolist())


def shown_scale(bounds: list[float], width: float, height: float) -> float:
    """Return how many times as large something is shown in a field, to two digits, so that it can be said."""
    left, bottom, right, top = bounds
    most = min(width / max(right - left, 1e-6), height / max(top - bottom, 1e-6), TIMES)
    digit = 10.0 ** (math.floor(math.log10(most)) - 1)
    return math.floor(most / digit + 1e-9) * digit


def scale_said(scale: float) -> str:
    """Say how large something is shown."""
    if scale < 1.0:
        return f"shown at {percent(scale)} of true size"
    return "shown at true size" if scale == 1.0 else f"shown {spoken(round(scale, 2))} times as large"


def ring_marks(finding: Finding, frame: InSketch, *, quiet: bool = False) -> Iterator[SketchMark]:
    """Yield a ring round the place of a finding, on ink and on paper; ``quiet``: a hairline, where there are many."""
    place: BaseGeometry | None = finding.place
    if place is None or place.is_empty:
        return
    ring = _ring(place, frame)
    if quiet:
        yield from frame.outlined(ring, PAPER, 0.3)
        yield from frame.outlined(ring, SEVERITY[finding.severity], 0.12)
        return
    yield from frame.outlined(ring, PAPER, 0.7)
    yield from frame.outlined(ring, SEVERITY[finding.severity], 0.3)


def _has_place(finding: Finding) -> bool:
    return finding.place is not None and not finding.place.is_empty


def _numbered(
    groups: tuple[tuple[Finding, ...], ...],
) -> tuple[list[tuple[int, Finding]], list[tuple[int, Finding]]]:
    """Return the findings that get a number beside the art, with it, and those that are only ringed."""
    shown: list[tuple[int, Finding]] = []
    others: list[tuple[int, Finding]] = []
    most = 2 * int(_TALL / _ROW)
    for number, alike in enumerate(groups, start=1):
        placed = [finding for finding in alike if _has_place(finding)]
        for rank, finding in enumerate(placed):
            room = rank < MOST_NUMBERED and len(shown) < most
            (shown if room else others).append((number, finding))
    return shown, others[:MOST_RINGED]


def _leading(numbered: list[tuple[int, Finding]], frame: InSketch, numbering: Numbering) -> Iterator[SketchMark]:
    """Yield the numbers, and lines from them to the rings of their places, on paper so that they show on ink."""
    rings = [frame.laid(_ring(finding.place, frame)) for _, finding in numbered]
    leaders = numbering.lead(rings)
    for colour_of, width in ((None, 0.7), (SEVERITY, 0.3)):
        for (_, finding), leader in zip(numbered, leaders, strict=True):
            colour = PAPER if colour_of is None else colour_of[finding.severity]
            yield DrawnLine((leader.stand, leader.end), colour, width)
    for (number, finding), leader in zip(numbered, leaders, strict=True):
        yield from sign_marks(finding.severity, number, *leader.stand, on_ink=True)


def _ring(place: BaseGeometry, frame: InSketch) -> BaseGeometry:
    """Return what is ringed for a place, mm, with a smooth edge."""
    rough = place.simplify(0.05 / frame.scale).buffer((_RING + _BAY) / frame.scale, quad_segs=8)
    return rough.buffer(-_BAY / frame.scale, quad_segs=8)


def _bar_said(scale: float) -> str:
    return f"{10 if scale < 6 else 1} mm; {scale_said(scale)}"
