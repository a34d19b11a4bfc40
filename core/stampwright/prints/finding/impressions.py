"""Impressions of test dies in a scan: four marks that belong together, the right way up, and what their code says."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from ...errors import JobError, PrintError
from ...plane.rasters.raster import MM_PER_INCH
from ..testdie.chart import MARK_RINGS, Chart, draw_chart, key_places, module_places
from .marks import CornerMark, find_marks
from .scans import Scan
from .views import View, as_seen, homography
from .vision import vision

LEAST_PIXELS = 3.2
"""Pixels to a printed line; a print that shows fewer is too small in its picture to be measured."""

USUAL_LINE = 0.4
"""Width of a printed line that most test dies are drawn for, mm."""

_APART = 82.0 / MARK_RINGS[0]
"""Distance of neighbouring marks in outer diameters of one."""

_CORNERS = np.array([(-41.0, 41.0), (41.0, 41.0), (41.0, -41.0), (-41.0, -41.0)])  # hundredths of the side
_LEAST_KEY = 0.35  # of the ink's darkness: how much darker the solid keys must be than the bare ones
_SIDE = 15  # squares of the code
_WRONG = 0.08  # share of squares that may be off where the chart is known from elsewhere
_LEAST_MODULE = 4.0  # pixels of a code's square
_MOST_BLUR = 1.0  # from paper to ink, hundredths of the side
_SAYS = re.compile(r"(\d{4})(\d{3})([0-9A-F]{7})")


@dataclass(frozen=True, eq=False)
class Found:
    """An impression of a test die: its chart, and how it lies in the scan. ``read``: whether its code was decoded."""

    chart: Chart
    view: View
    read: bool


@dataclass(frozen=True, eq=False)
class _Square:
    """Four marks in the chart's order, by the matrix from hundredths of the side to pixels."""

    marks: tuple[int, ...]
    matrix: NDArray[np.float64]
    key: float
    mirrored: bool


def least_density(line: float) -> float:
    """Return how many pixels a millimetre of a picture takes at the least, for printed lines of a width, mm."""
    return LEAST_PIXELS / line


def find_impressions(scan: Scan, known: Chart | None = None) -> list[Found]:
    """Return every impression of a test die in a scan.

    ``known``: the chart, where the folder of the die was given; without it, the code of each says what it is. Raises
    :class:`~stampwright.errors.PrintError`, with the reason, when there is none that could be measured.
    """
    best: list[_Square] = []
    most: list[CornerMark] = []
    for marks in find_marks(scan):
        most = max(most, marks, key=len)
        squares = _squares(scan, marks)
        if len(squares) > len(best):
            best = squares
        # More is looked for only where marks are left over.
        if best and len(marks) < 4 * len(best) + 2:
            break
    if not best:
        raise PrintError(f"{scan.name}: {_why_none(scan, most, known)}")
    if all(square.mirrored for square in best):
        raise PrintError(
            f"{scan.name}: the print is mirrored: a stamp prints the right way round, so the scan or photograph was "
            "turned over, or the die was made mirrored; scan the paper itself"
        )
    found, faults = [], []
    for square in best:
        if square.mirrored:
            continue
        try:
            found.append(_identified(scan, square, known))
        except PrintError as error:
            faults.append(error)
    if not found:
        raise faults[0]
    return found


def _why_none(scan: Scan, marks: Sequence[CornerMark], known: Chart | None) -> str:
    line = USUAL_LINE if known is None else known.line_width
    if scan.dpi and min(scan.dpi) < least_density(line) * MM_PER_INCH:
        return (
            f"too small in the picture: it was scanned at {min(scan.dpi):.0f} dpi, and lines of {line:g} mm take "
            f"{least_density(line) * MM_PER_INCH:.0f}; scan at 600 dpi"
        )
    if not marks:
        return (
            "no corner mark of a test die is seen: too blurred, too small, struck twice or no print of one; scan at "
            "600 dpi, or hold the camera nearer and still"
        )
    if min(_blur_at(scan, np.array([(mark.x, mark.y)]), mark.across / MARK_RINGS[0]) for mark in marks) > _MOST_BLUR:
        return "too blurred: the marks' edges run out; scan at 600 dpi, or hold the camera still and let it focus"
    if len(marks) < 4:
        return (
            f"only {len(marks)} of the four corner marks {'is' if len(marks) == 1 else 'are'} seen: the print is cut "
            "off, or does not print there; show all of it, or push more evenly"
        )
    return "no four corner marks belong together: the print is cut off or bent; lay the paper flat and show all of it"


def _squares(scan: Scan, marks: Sequence[CornerMark]) -> list[_Square]:
    """Return sets of four marks that are the corners of one impression, the surest first, each mark in one only."""
    places = np.array([(mark.x, mark.y) for mark in marks]).reshape(-1, 2)
    sizes = np.array([mark.across for mark in marks])
    found: list[_Square] = []
    tried: set[frozenset[int]] = set()
    for first in range(len(marks)):
        for corners in _quads_from(first, places, sizes):
            if frozenset(corners) in tried:
                continue
            tried.add(frozenset(corners))
            square = _righted(scan, corners, places)
            if square is not None:
                found.append(square)
    taken: set[int] = set()
    kept = []
    for square in sorted(found, key=lambda each: -each.key):
        if taken.isdisjoint(square.marks):
            taken.update(square.marks)
            kept.append(square)
    return sorted(kept, key=lambda each: tuple(places[list(each.marks)].mean(axis=0)[::-1]))


def _quads_from(first: int, places: NDArray[np.float64], sizes: NDArray[np.float64]) -> list[tuple[int, int, int, int]]:
    """Return quadrilaterals of marks, in order round, in which ``first`` has two neighbours about at right angles."""
    away = places - places[first]
    distance = np.hypot(*away.T)
    expected = _APART * np.sqrt(sizes * sizes[first])
    near = [at for at in range(len(places)) if at != first and 0.6 < distance[at] / expected[at] < 1.6]
    quads = []
    for one in near:
        for other in near:
            turn = _turn(away[one], away[other])
            if turn < 0.5 * distance[one] * distance[other]:
                continue
            fourth = places[one] + away[other]
            off = np.hypot(*(places - fourth).T)
            off[[first, one, other]] = np.inf
            last = int(np.argmin(off))
            if off[last] < 0.35 * min(distance[one], distance[other]):
                quads.append((first, one, last, other))
    return quads


def _righted(scan: Scan, corners: tuple[int, int, int, int], places: NDArray[np.float64]) -> _Square | None:
    """Return four marks in the chart's order, turned or mirrored as the solid and the bare places show."""
    solids, blanks = (_points_in(regions) for regions in key_places())
    best: _Square | None = None
    cv2 = vision()
    for order in permutations(range(4)):
        if not _goes_round(order):
            continue
        chosen = tuple(corners[at] for at in order)
        matrix = homography(_CORNERS, places[list(chosen)])
        view = View(matrix)
        if not _inside(view.project(np.array([(-46, 46), (46, 46), (46, -46), (-46, -46)])), scan.shape):
            return None
        # Ink and paper are told where they are known to be, so that faint ink counts as much as dark.
        dark, light = (1.0 - as_seen(scan.level, view.project(points), cv2) for points in (solids, blanks))
        ring = 1.0 - as_seen(scan.level, view.project(_ring_points()), cv2)
        darkest = max(float(np.median(ring)), float(np.median(dark)), 0.05)
        key = float((np.median(dark) - np.median(light)) / darkest)
        even = float(np.mean(light > 0.5 * np.median(ring)))
        if key > _LEAST_KEY and even < 0.25 and (best is None or key > best.key):
            a, b, c = places[[chosen[0], chosen[1], chosen[2]]]
            # On paper, upper left to upper right to lower right goes clockwise; rows count down, so the sign is plus.
            best = _Square(chosen, matrix, key, _turn(b - a, c - b) < 0.0)
    return best


def _goes_round(order: Sequence[int]) -> bool:
    """Say whether four corners follow each other round the square, either way."""
    return all((order[at] - order[at - 1]) % 4 in (1, 3) for at in range(4)) and (order[2] - order[0]) % 4 == 2


def _inside(points: NDArray[np.float64], shape: tuple[int, int]) -> bool:
    slack = 3.0
    rows, columns = shape
    x, y = points.T
    return bool(((x > -slack) & (x < columns + slack) & (y > -slack) & (y < rows + slack)).all())


def _points_in(regions: Sequence[Any]) -> NDArray[np.float64]:
    """Return points spread over regions, (n, 2)."""
    points = []
    for region in regions:
        left, bottom, right, top = region.bounds
        x, y = np.meshgrid(np.arange(left + 0.4, right, 0.8), np.arange(bottom + 0.4, top, 0.8))
        inside = shapely.contains_xy(region, x, y)
        points.append(np.stack((x[inside], y[inside]), axis=-1))
    return np.concatenate(points)


def _ring_points() -> NDArray[np.float64]:
    turns = np.linspace(0.0, 2 * np.pi, 24, endpoint=False)
    radius = (MARK_RINGS[0] + MARK_RINGS[1]) / 4.0
    ring = radius * np.stack((np.cos(turns), np.sin(turns)), axis=-1)
    return np.asarray((_CORNERS[:, None, :] + ring).reshape(-1, 2))


def _identified(scan: Scan, square: _Square, known: Chart | None) -> Found:
    """Return an impression with its chart: the one that its code names; raises :class:`PrintError`."""
    readings = _read_squares(scan, View(square.matrix))
    says = next((text for text in map(_decoded, readings) if text and _SAYS.fullmatch(text)), None)
    if known is not None and says is None:
        expected = draw_squares(known)
        if min(float(np.mean(squares != expected)) for squares in readings) <= _WRONG:
            return Found(known, _in_mm(square, known), False)
    parts = _SAYS.fullmatch(says or "")
    if parts is None:
        raise PrintError(f"{scan.name}: {_why_unread(scan, View(square.matrix))}")
    if known is not None:
        if says != known.says:
            raise PrintError(
                f"{scan.name}: the print is of another test die: its code says {says}, the folder's die {known.says}; "
                "give the folder that it was made in"
            )
        return Found(known, _in_mm(square, known), True)
    size, line, mark = parts.groups()
    try:
        chart = draw_chart(int(size) / 10.0, int(line) / 100.0, mark)
    except JobError as error:
        raise PrintError(f"{scan.name}: the code of the print names no test die ({says})") from error
    return Found(chart, _in_mm(square, chart), True)


def _why_unread(scan: Scan, view: View) -> str:
    """Say why a code does not read: by how far the marks' outer edges are blurred, or how few pixels there are."""
    module = 1.6 * view.pixels_per_mm()
    blur = _blur_at(scan, view.project(_CORNERS), view.pixels_per_mm())
    if module < _LEAST_MODULE:
        return (
            f"the print is too small in the picture: its code has {module:.1f} pixels to a square; scan at 600 dpi, or "
            "hold the camera nearer"
        )
    if blur > _MOST_BLUR:
        return "too blurred: the print's code does not read; scan at 600 dpi, or hold the camera still and let it focus"
    return (
        "the code of the print does not read, so its size is not known; give the folder of the test die (--test DIR), "
        "or print and scan it more clearly"
    )


def _blur_at(scan: Scan, middles: NDArray[np.float64], unit: float) -> float:
    """Return how far marks' outer edges take from ink to paper, hundredths of the side, of ``unit`` pixels each."""
    away = np.linspace(-1.5, 1.5, 61)
    turns = np.linspace(0.0, 2 * np.pi, 48, endpoint=False)
    around = np.stack((np.cos(turns), np.sin(turns)), axis=-1)
    places = middles[:, None, None, :] + unit * (MARK_RINGS[0] / 2 + away)[:, None] * around[:, None, :]
    level = np.maximum.accumulate(as_seen(scan.level, places, vision()).mean(axis=(0, 1)))
    low, high = level[0] + 0.1 * (level[-1] - level[0]), level[0] + 0.9 * (level[-1] - level[0])
    return float(np.interp(high, level, away) - np.interp(low, level, away))


def draw_squares(chart: Chart) -> NDArray[np.bool_]:
    """Return which squares of a chart's code are ink, (n, n), top row first."""
    middles = chart.modules
    return np.asarray(shapely.contains_xy(chart.inked, middles[..., 0], middles[..., 1]))


def _in_mm(square: _Square, chart: Chart) -> View:
    return View(square.matrix @ np.diag([1.0 / chart.unit, 1.0 / chart.unit, 1.0]))


def _read_squares(scan: Scan, view: View) -> list[NDArray[np.bool_]]:
    """Return which squares of the code are dark, (15, 15), read in several ways, the likeliest first.

    Ink that spreads far leaves little of a single bare square, and that is grey: so the cut moves towards ink.
    """
    readings = []
    for reach in (0.25, 0.1):
        step = 1.6 * np.linspace(-reach, reach, 3)
        around = np.stack(np.meshgrid(step, step), axis=-1).reshape(-1, 2)
        points = module_places(_SIDE)[..., None, :] + around
        level = np.median(as_seen(scan.level, view.project(points), vision()), axis=-1)
        # The finder is known to hold both ink and paper: its ring and the white round its dot.
        ink, paper = float(np.median(level[0, :7])), float(np.median(level[1, 1:6]))
        readings += [np.asarray(level < ink + share * (paper - ink)) for share in (0.5, 0.35, 0.65, 0.25)]
    return readings


def _decoded(squares: NDArray[np.bool_]) -> str | None:
    """Return what a code says, by an independent decoder; None where none is installed or it does not read."""
    try:
        # Part of the extra that measures prints, but not needed where the die's folder is given.
        import zxingcpp  # noqa: PLC0415
    except ImportError:
        return None
    drawn = np.kron(np.pad(~squares, 3, constant_values=True), np.ones((8, 8))).astype(np.uint8) * 255
    codes = zxingcpp.read_barcodes(np.ascontiguousarray(drawn))
    return str(codes[0].text) if codes else None


def _turn(one: NDArray[np.float64], other: NDArray[np.float64]) -> float:
    return float(one[0] * other[1] - one[1] * other[0])
