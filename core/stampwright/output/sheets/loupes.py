"""Loupes: the worst places enlarged, the art over what prints of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

import shapely
from shapely.geometry import MultiPolygon, Point
from shapely.geometry.base import BaseGeometry

from ...examination import Examination, limits_of
from ...findings import Finding, gathered
from ...likeness import laid_parts
from ...looks.colours import INK, REMOVED, RULE
from ...looks.numbers import spoken
from ...plane.overlays import all_joined, common, in_each, without
from ...plane.regions import filled_parts
from ..sketches.marks import InSketch, Sketch, SketchMark, moved
from .figure import ring_marks
from .signs import SIGN, bar_marks, sign_marks
from .writing import Column

MOST_LOUPES = 6

PRINTED = "#b9c7d9"
"""Pale ink: what prints where the art has none."""

_ACROSS = 3  # loupes in a row
_LEAST = 1.2  # radius of what a loupe shows, mm at least


def loupe_rows(examined: Examination, width: float) -> list[Sketch]:
    """Return rows of loupes, each with what was found there; none when nothing with a place blocks or warns."""
    worst = worst_places(examined)
    wide = width / _ACROSS
    loupes = [_loupe(examined, number, finding, wide - 4.0) for number, finding in worst]
    return [_in_row(loupes[start : start + _ACROSS], wide, width) for start in range(0, len(loupes), _ACROSS)]


def worst_places(examined: Examination) -> list[tuple[int, Finding]]:
    """Return the places for loupes with the numbers of their kinds: of each kind the worst, then the next of each.

    What would be seen in a loupe that there is already is passed over.
    """
    ranks: list[list[tuple[int, Finding]]] = []
    for number, alike in enumerate(gathered(examined.findings), start=1):
        placed = [each for each in alike if each.place is not None and not each.place.is_empty]
        if alike[0].severity != "notes":
            ranks.append([(number, each) for each in sorted(placed, key=_nearness)])
    chosen: list[tuple[int, Finding]] = []
    seen: list[BaseGeometry] = []
    for rank in range(max(map(len, ranks), default=0)):
        for group in ranks:
            if rank >= len(group) or len(chosen) == MOST_LOUPES:
                continue
            view = _view(examined, group[rank][1])
            middle = view.centroid
            if not any(middle.distance(other.centroid) < math.sqrt(view.area) / 4.0 for other in seen):
                chosen.append(group[rank])
                seen.append(view)
        if len(chosen) == MOST_LOUPES:
            break
    return sorted(chosen, key=lambda each: each[0])


@lru_cache(maxsize=4)
def printed_and_lost(examined: Examination) -> tuple[MultiPolygon, MultiPolygon]:
    """Return what comes to be printed, mm, and what of the art as given does not."""
    limits = limits_of(examined.job)
    printed = laid_parts(examined.printed, spread=limits.spread, laid=limits.line_blocks)
    return printed, filled_parts(without(examined.given.inked, printed))


def _nearness(finding: Finding) -> float:
    """Return how near to its limit what was measured comes; the least first, as most limits are least ones."""
    if finding.measured is None or not finding.limit:
        return 1.0
    share = finding.measured / finding.limit
    return share if share <= 1.0 else 1.0 / share


def _view(examined: Examination, finding: Finding) -> BaseGeometry:
    """Return the circle of the paper that a loupe shows."""
    left, bottom, right, top = (Point(0.0, 0.0) if finding.place is None else finding.place).bounds
    limit = finding.limit if finding.unit == "mm" and finding.limit is not None and finding.limit < 2.0 else 0.0
    around = examined.laid.layout.base.bounds
    most = 0.3 * max(around[2] - around[0], around[3] - around[1])
    radius = min(max(_LEAST, 0.75 * math.hypot(right - left, top - bottom), 4.0 * limit), max(most, _LEAST))
    return Point((left + right) / 2.0, (bottom + top) / 2.0).buffer(radius, quad_segs=32)


def _loupe(examined: Examination, number: int, finding: Finding, wide: float) -> Sketch:
    view = _view(examined, finding)
    left, bottom, right, top = view.bounds
    scale = wide / (right - left)
    frame = InSketch(wide / 2.0 - scale * (left + right) / 2.0, wide / 2.0 + scale * (bottom + top) / 2.0, scale)
    column = Column(wide)
    column.put(_seen(examined, view, frame))
    column.put(ring_marks(_clipped(finding, view), frame))
    column.put(frame.outlined(view, RULE, 0.5))
    column.put(sign_marks(finding.severity, number, SIGN + 0.3, SIGN + 0.3))
    bar = next(length for length in (0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0) if scale * length > 6 or length == 20.0)
    column.down = wide + 2.5
    column.put(bar_marks(0.0, column.down, scale * bar, f"{spoken(bar)} mm"))
    column.down += 2.0
    column.write(f"{finding.kind}: {finding.message.rstrip('.')}", 2.5)
    return column.sketch()


def _seen(examined: Examination, view: BaseGeometry, frame: InSketch) -> Iterator[SketchMark]:
    """Yield what is seen in a loupe: what prints, the art over it, and what of the art does not print."""
    printed, lost = printed_and_lost(examined)
    yield from frame.filled(_within(printed, view), PRINTED)
    yield from frame.filled(_within(examined.given.inked, view), INK)
    yield from frame.filled(_within(lost, view), REMOVED)


def _within(region: MultiPolygon, view: BaseGeometry) -> BaseGeometry:
    parts = shapely.get_parts(region)
    near = parts[shapely.intersects(parts, view)]
    return all_joined(in_each(common, near, view))


def _clipped(finding: Finding, view: BaseGeometry) -> Finding:
    return replace(finding, place=None if finding.place is None else common(finding.place, view))


def _in_row(loupes: list[Sketch], wide: float, width: float) -> Sketch:
    marks = [moved(mark, index * wide, 0.0) for index, each in enumerate(loupes) for mark in each.marks]
    return Sketch(width, max(each.height for each in loupes), tuple(marks))
