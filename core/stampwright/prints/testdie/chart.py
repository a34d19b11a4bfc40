"""The chart of a test die: what its face bears, each thing with its place, so that a print of it can be measured."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box

from ...errors import JobError
from ...plane.overlays import all_joined, joined, without
from ...plane.regions import filled_parts
from .symbols import code_matrix, letters_of_height

SMALLEST, LARGEST = 30.0, 150.0
"""Side of a test die, mm."""

LEAST_IN_LINES = 75.0
"""Side of the smallest chart, line widths: 30 mm for lines of 0.4 mm."""

FEW = (0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0)
MANY = (0.5, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0)
"""Rungs of a ladder, line widths: on a small die, and where there is room."""

DIRECTIONS = (0.0, 45.0, 90.0, 135.0)
"""Of the lines and gaps of the ladders on paper, degrees counter-clockwise from x."""

COVERS = (0.25, 0.5, 0.75)
"""Steps of ink cover, shares of a screen of lines."""

SLANT = 8.0
"""Turn of the slanted square, degrees: ISO 12233 takes an edge 5 degrees off the rows, some charts up to 10."""

_ROOMY = 115.0  # side in line widths from which on there is room for all rungs
_HALF = 50.0  # half of the chart's side in its own units, hundredths of the side
_MARK = 41.0  # how far the marks' middles lie from the chart's middle lines
MARK_RINGS = (9.5, 6.0, 3.0)
"""Diameters of a mark's black ring, outside and inside, and of its dot, hundredths of the side."""

_CODE_AT, _MODULE, _QUIET = -19.8, 1.6, 2
_STRIP = 8.0  # height of a ladder
_SQUARE = (-3.0, -35.0, 13.0, -19.0)
_SLANTED_AT, _SLANTED_SIDE = (26.5, -27.0), 12.0
_KEY = (27.0, -45.25, 31.0, -37.25)
_HOLES = (22.0, 15.6, 35.0, 25.2)
_CAPITALS = (3.0, 4.0, 5.0, 7.0, 9.0)  # heights of capitals, line widths
_SCREEN_PITCH = 4.0  # line widths

LadderKind = Literal["line", "gap"]


@dataclass(frozen=True)
class Rung:
    """A line of ink, or a gap between bars of ink, of known width.

    ``width``: mm; ``direction``: of its length, degrees counter-clockwise on paper; ``start`` and ``end``: its middle
    line, mm, chart frame.
    """

    kind: LadderKind
    width: float
    direction: float
    start: tuple[float, float]
    end: tuple[float, float]


@dataclass(frozen=True)
class InkPatch:
    """A place of known cover or form: ``kind`` is solid, cover, slanted, dot, hole or letters.

    ``region``: mm, chart frame; ``share``: of it that is ink; ``size``: diameter of a dot or hole, height of letters.
    """

    kind: str
    region: Polygon | MultiPolygon
    share: float = 1.0
    size: float = 0.0


@dataclass(frozen=True, eq=False)
class Chart:
    """All that a test die bears, mm, paper frame with the chart's middle as its origin.

    ``size``: its side. ``inked``: valid MultiPolygon. ``marks``: middles of the corner marks, (4, 2), upper left first,
    clockwise. ``keys``: regions that are solid wherever the size, and ``blanks`` such as are bare: they tell turn and
    mirroring. ``modules``: middles of the code's squares, (n, n, 2), top row first.
    """

    size: float
    line_width: float
    says: str
    inked: MultiPolygon
    marks: NDArray[np.float64]
    rungs: tuple[Rung, ...]
    patches: tuple[InkPatch, ...]
    modules: NDArray[np.float64]

    def patches_of(self, kind: str) -> tuple[InkPatch, ...]:
        """Return the patches of one kind."""
        return tuple(patch for patch in self.patches if patch.kind == kind)

    @property
    def unit(self) -> float:
        """A hundredth of its side, mm."""
        return self.size / (2.0 * _HALF)


def draw_chart(size: float = 50.0, line_width: float = 0.4, fingerprint: str = "0" * 7) -> Chart:
    """Return the chart of a test die.

    ``size``: its side, mm; ``line_width``: of one printed line, mm; ``fingerprint``: seven hexadecimal digits of the
    job, which its code says after both. Raises :class:`~stampwright.errors.JobError` when the ladders have no room.
    """
    least = max(SMALLEST, LEAST_IN_LINES * line_width)
    if not least <= size <= LARGEST:
        raise JobError(
            f"a test die of {size:g} mm is not allowed: lines of {line_width:g} mm take {least:g} to {LARGEST:g} mm"
        )
    says = f"{round(size * 10):04d}{round(line_width * 100):03d}{fingerprint}"
    unit = size / (2.0 * _HALF)
    line = line_width / unit
    roomy = size / line_width >= _ROOMY
    pieces: list[Polygon | MultiPolygon] = [_mark(x, y) for x, y in _MARKS]
    rungs: list[Rung] = []
    for ladder in _ladders(MANY if roomy else FEW, line, bar=2.0 if roomy else 1.5):
        pieces += ladder.bars
        rungs += ladder.rungs
    holes = tuple(_holes(line))
    patches = [*_solids(), *_covers(), *_dots(line), *_letters(line, "Rag" if roomy else "Ra"), *holes]
    pieces += [part for patch in patches for part in _ink_of(patch, line)]
    matrix = code_matrix(says)
    block = without(box(*_HOLES), all_joined([hole.region for hole in holes]))
    pieces += [box(*_KEY), block, *_modules(matrix)]
    inked = affinity.scale(filled_parts(all_joined(pieces)), unit, unit, origin=(0, 0))
    return Chart(
        size=size,
        line_width=line_width,
        says=says,
        inked=filled_parts(shapely.set_precision(inked, 1e-6)),
        marks=np.array(_MARKS) * unit,
        rungs=tuple(_rung_in_mm(rung, unit) for rung in rungs),
        patches=tuple(_patch_in_mm(patch, unit) for patch in patches),
        modules=module_places(len(matrix)) * unit,
    )


_MARKS = ((-_MARK, _MARK), (_MARK, _MARK), (_MARK, -_MARK), (-_MARK, -_MARK))


def module_places(side: int) -> NDArray[np.float64]:
    """Return the middles of the code's squares, (side, side, 2), top row first, in hundredths of the chart's side."""
    along = (np.arange(side) - (side - 1) / 2.0) * _MODULE
    x, y = np.meshgrid(_CODE_AT + along, _CODE_AT - along)
    return np.stack((x, y), axis=-1)


def key_places() -> tuple[list[Polygon], list[Polygon]]:
    """Return what is solid and what is bare on every chart, in hundredths of its side: turned or mirrored it is not."""
    half = (15 / 2 + _QUIET) * _MODULE
    inner = 15 / 2 * _MODULE + 0.6
    at = _CODE_AT
    quiet = without(
        box(at - half + 0.6, at - half + 0.6, at + half - 0.6, at + half - 0.6),
        box(at - inner, at - inner, at + inner, at + inner),
    )
    beside_key = box(_KEY[2] + 1.5, _KEY[1] + 1.0, 34.5, _KEY[3] - 1.0)
    return [box(*_KEY).buffer(-0.6), box(*_SQUARE).buffer(-0.6)], [quiet, beside_key]


def _mark(x: float, y: float) -> Polygon:
    outer, inner, dot = (Point(x, y).buffer(diameter / 2.0, quad_segs=32) for diameter in MARK_RINGS)
    return joined(without(outer, inner), dot)


@dataclass(frozen=True)
class _Ladder:
    bars: list[Polygon]
    rungs: list[Rung]


def _ladders(steps: Sequence[float], line: float, *, bar: float) -> Iterator[_Ladder]:
    """Yield the ladders of lines and gaps in every direction, in hundredths of the side."""
    edge, inner = 41.25, 34.5
    lines_long = (sum(steps) + 2.0 * (len(steps) - 1)) * line
    # Upright lines and gaps along the top, level ones down the left side, slanted lines below and right.
    yield _lines(steps, line, (-inner, edge), 90.0)
    yield _gaps(steps, line, bar, (-inner + lines_long + 2.5 * line, edge), 90.0)
    yield _upright(_lines(steps, line, (-inner, -edge), 90.0))
    yield _upright(_gaps(steps, line, bar, (-inner + lines_long + 2.5 * line, -edge), 90.0))
    yield _lines(steps, line, (-inner, -edge), 45.0)
    # A quarter turn clockwise makes 135 degrees of these 45.
    yield _upright(_lines(steps, line, (-inner, edge), 45.0))
    yield _gaps(steps, line, bar, (-inner, 30.0), 45.0)
    yield _gaps(steps, line, bar, (-inner, 20.5), 135.0)


def _lines(steps: Sequence[float], line: float, start: tuple[float, float], direction: float) -> _Ladder:
    return _comb("line", steps, [2.0] * (len(steps) - 1), line=line, start=start, direction=direction)


def _gaps(steps: Sequence[float], line: float, bar: float, start: tuple[float, float], direction: float) -> _Ladder:
    return _comb("gap", steps, [bar] * (len(steps) + 1), line=line, start=start, direction=direction)


def _comb(
    kind: LadderKind,
    steps: Sequence[float],
    between: Sequence[float],
    *,
    line: float,
    start: tuple[float, float],
    direction: float,
) -> _Ladder:
    """Return rungs side by side along x from their leftmost point on; their lengths lie in ``direction``."""
    turn = math.radians(direction)
    lean, per_width = _STRIP / 2.0 / math.tan(turn), 1.0 / math.sin(turn)
    x, y = start[0] + abs(lean), start[1]
    # Bars and gaps, or lines and what lies between: by turns.
    first, second = (between, steps) if kind == "gap" else (steps, between)
    bars: list[Polygon] = []
    rungs: list[Rung] = []
    for index, part in enumerate(first):
        x, across = _stand(x, part * line * per_width)
        bars.append(_slanted_bar(across, part * line * per_width, y, lean))
        if kind == "line":
            rungs.append(_rung(kind, part * line, direction, (across, y), lean))
        if index < len(second):
            x, across = _stand(x, second[index] * line * per_width)
            if kind == "gap":
                rungs.append(_rung(kind, second[index] * line, direction, (across, y), lean))
    return _Ladder(bars, rungs)


def _stand(x: float, wide: float) -> tuple[float, float]:
    return x + wide, x + wide / 2.0


def _slanted_bar(x: float, wide: float, y: float, lean: float) -> Polygon:
    half, up = wide / 2.0, _STRIP / 2.0
    foot, head = x - lean, x + lean
    return Polygon([(foot - half, y - up), (foot + half, y - up), (head + half, y + up), (head - half, y + up)])


def _rung(kind: LadderKind, width: float, direction: float, at: tuple[float, float], lean: float) -> Rung:
    x, y = at
    return Rung(kind, width, direction, (x - lean, y - _STRIP / 2.0), (x + lean, y + _STRIP / 2.0))


def _upright(ladder: _Ladder) -> _Ladder:
    """Return a ladder that ran along x running down y: x and y trade places, and down is first."""

    def turned(at: tuple[float, float]) -> tuple[float, float]:
        return at[1], -at[0]

    bars = [Polygon([turned((x, y)) for x, y in bar.exterior.coords]) for bar in ladder.bars]
    rungs = [
        Rung(rung.kind, rung.width, (rung.direction - 90.0) % 180.0, turned(rung.start), turned(rung.end))
        for rung in ladder.rungs
    ]
    return _Ladder(bars, rungs)


def _solids() -> Iterator[InkPatch]:
    yield InkPatch("solid", box(*_SQUARE))
    half = _SLANTED_SIDE / 2.0
    x, y = _SLANTED_AT
    yield InkPatch("slanted", affinity.rotate(box(x - half, y - half, x + half, y + half), SLANT, origin=(x, y)))


def _covers() -> Iterator[InkPatch]:
    for index, share in enumerate(COVERS):
        left = -3.0 + 12.7 * index
        yield InkPatch("cover", box(left, -16.0, left + 11.0, -7.0), share)


def _dots(line: float) -> Iterator[InkPatch]:
    rows = (((0.5, 0.75, 1.0, 1.5, 2.0), 33.0), ((3.0, 4.0), 28.2))
    yield from _discs("dot", rows, line, 22.0, 35.0)


def _holes(line: float) -> Iterator[InkPatch]:
    left, bottom, right, top = _HOLES
    rows = (((0.5, 1.0, 1.5), top - 2.2), ((2.0, 3.0), bottom + 3.4))
    yield from _discs("hole", rows, line, left, right)


def _discs(
    kind: str, rows: Iterable[tuple[Sequence[float], float]], line: float, left: float, right: float
) -> Iterator[InkPatch]:
    """Yield discs in rows, evenly apart between ``left`` and ``right``."""
    for sizes, y in rows:
        room = right - left - sum(sizes) * line
        apart = room / (len(sizes) + 1)
        x = left
        for size in sizes:
            wide = size * line
            x += apart + wide / 2.0
            yield InkPatch(kind, Point(x, y).buffer(wide / 2.0, quad_segs=16), 1.0 if kind == "dot" else 0.0, wide)
            x += wide / 2.0


def _letters(line: float, text: str) -> Iterator[InkPatch]:
    x = -35.0
    for height in _CAPITALS:
        drawn = letters_of_height(text, height * line)
        left, _, right, _ = drawn.bounds
        yield InkPatch("letters", affinity.translate(drawn, x - left, 0.5), 1.0, height * line)
        x += right - left + 2.0


def _ink_of(patch: InkPatch, line: float) -> Iterator[Polygon | MultiPolygon]:
    """Yield the ink of a patch; holes have none."""
    if patch.kind == "cover":
        left, bottom, right, top = patch.region.bounds
        pitch = _SCREEN_PITCH * line
        for index in range(math.floor((right - left) / pitch + 1e-9)):
            yield box(left + index * pitch, bottom, left + (index + patch.share) * pitch, top)
    elif patch.kind != "hole":
        yield patch.region


def _modules(matrix: NDArray[np.bool_]) -> Iterator[Polygon]:
    half = _MODULE / 2.0
    for x, y in module_places(len(matrix))[matrix]:
        yield box(x - half, y - half, x + half, y + half)


def _rung_in_mm(rung: Rung, unit: float) -> Rung:
    (x0, y0), (x1, y1) = rung.start, rung.end
    return Rung(rung.kind, rung.width * unit, rung.direction, (x0 * unit, y0 * unit), (x1 * unit, y1 * unit))


def _patch_in_mm(patch: InkPatch, unit: float) -> InkPatch:
    region = affinity.scale(patch.region, unit, unit, origin=(0, 0))
    return InkPatch(patch.kind, region, patch.share, patch.size * unit)
