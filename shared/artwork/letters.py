"""An alphabet of our own: skeleton capitals, drawn with a pen whose strokes flare towards their ends like cut letters.

Every letter is a few centre lines on a square one cap height high (y up, baseline at 0). :func:`set_line` draws them
with a pen and sets them side by side so that the white between two letters looks the same everywhere.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from shapely.ops import unary_union
from svgelements import Close, Line, Move, Path


@dataclass(frozen=True)
class Pen:
    """How centre lines become strokes; lengths as shares of the cap height, the angle in degrees."""

    weight: float = 0.22
    thin: float = 0.78
    angle: float = 18.0
    flare: float = 0.22


# Centre lines in the notation of SVG's path data, except that y runs up.
LETTERS = {
    "A": ["M0,0 L.42,1 L.84,0", "M.09,.22 L.75,.22"],
    "B": ["M0,.53 H.27 A.235,.235 0 0 1 .27,1 H0 V0 H.3 A.265,.265 0 0 1 .3,.53 H.2"],
    "C": ["M.8,.84 C.71,.95 .6,1 .47,1 C.2,1 0,.78 0,.5 C0,.22 .2,0 .47,0 C.6,0 .71,.05 .8,.16"],
    "D": ["M0,0 H.26 C.56,0 .76,.2 .76,.5 C.76,.8 .56,1 .26,1 H0 Z"],
    "E": ["M.48,1 H0 V0 H.5", "M0,.53 H.4"],
    "F": ["M.48,1 H0 V0", "M0,.5 H.4"],
    "G": ["M.79,.85 C.7,.95 .6,1 .47,1 C.2,1 0,.78 0,.5 C0,.22 .2,0 .47,0 C.6,0 .72,.03 .8,.08 V.47 H.54"],
    "H": ["M0,0 V1", "M.68,0 V1", "M0,.53 H.68"],
    "I": ["M0,0 V1"],
    "J": ["M.34,1 V.27 C.34,.1 .24,0 .1,0 C.05,0 .02,.01 -.02,.03"],
    "K": ["M0,0 V1", "M.58,1 L.04,.47", "M.21,.62 L.64,0"],
    "L": ["M0,1 V0 H.46"],
    "M": ["M0,0 L.1,1 L.46,.14 L.82,1 L.92,0"],
    "N": ["M0,0 V1 L.7,0 V1"],
    "O": ["M.47,1 C.74,1 .94,.78 .94,.5 C.94,.22 .74,0 .47,0 C.2,0 0,.22 0,.5 C0,.78 .2,1 .47,1 Z"],
    "P": ["M0,0 V1 H.26 A.27,.27 0 0 0 .26,.46 H0"],
    "Q": [
        "M.47,1 C.74,1 .94,.78 .94,.5 C.94,.22 .74,0 .47,0 C.2,0 0,.22 0,.5 C0,.78 .2,1 .47,1 Z",
        "M.55,.24 L.92,-.12",
    ],
    "R": ["M0,0 V1 H.27 A.26,.26 0 0 0 .27,.48 H0", "M.29,.48 L.64,0"],
    "S": [
        "M.48,.86 C.43,.95 .36,1 .26,1 C.13,1 .03,.9 .03,.76 C.03,.6 .15,.56 .27,.51 "
        "C.4,.455 .53,.4 .53,.25 C.53,.1 .41,0 .26,0 C.15,0 .06,.05 0,.15"
    ],
    "T": ["M0,1 H.68", "M.34,1 V0"],
    "U": ["M0,1 V.33 C0,.12 .13,0 .33,0 C.53,0 .66,.12 .66,.33 V1"],
    "V": ["M0,1 L.38,0 L.76,1"],
    "W": ["M0,1 L.3,0 L.57,.9 L.84,0 L1.14,1"],
    "X": ["M.02,1 L.68,0", "M.64,1 L0,0"],
    "Y": ["M0,1 L.34,.48 L.68,1", "M.34,.48 V0"],
    "Z": ["M.04,1 H.64 L0,0 H.66"],
    "0": ["M.32,1 C.52,1 .64,.8 .64,.5 C.64,.2 .52,0 .32,0 C.12,0 0,.2 0,.5 C0,.8 .12,1 .32,1 Z"],
    "1": ["M0,.84 L.2,1 V0"],
    "2": ["M.02,.78 C.05,.92 .15,1 .28,1 C.43,1 .54,.9 .54,.75 C.54,.5 .2,.35 0,0 H.58"],
    "3": ["M.03,1 H.52 L.22,.6 C.42,.62 .54,.5 .54,.32 C.54,.13 .41,0 .23,0 C.13,0 .05,.03 -.02,.1"],
    "4": ["M.46,0 V1 L0,.28 H.64"],
    "5": [
        "M.5,1 H.1 L.06,.55 C.13,.59 .19,.61 .26,.61 C.43,.61 .54,.49 .54,.31 C.54,.12 .41,0 .23,0 C.14,0 .06,.03 0,.09"
    ],
    "6": [
        "M.46,1 C.2,.86 0,.62 0,.32 C0,.13 .12,0 .3,0 C.47,0 .6,.13 .6,.31 C.6,.49 .48,.61 .31,.61 "
        "C.13,.61 .02,.5 .005,.36"
    ],
    "7": ["M0,1 H.58 L.16,0"],
    "8": [
        "M.29,.53 C.14,.56 .05,.65 .05,.77 C.05,.9 .15,1 .29,1 C.43,1 .53,.9 .53,.77 C.53,.65 .44,.56 .29,.53 "
        "C.11,.5 0,.41 0,.27 C0,.11 .12,0 .29,0 C.46,0 .58,.11 .58,.27 C.58,.41 .47,.5 .29,.53 Z"
    ],
    "9": [
        "M.14,0 C.4,.14 .6,.38 .6,.68 C.6,.87 .48,1 .3,1 C.13,1 0,.87 0,.69 C0,.51 .12,.39 .29,.39 "
        "C.47,.39 .58,.5 .595,.64"
    ],
    "&": [
        "M.82,.5 C.8,.2 .6,0 .3,0 C.12,0 0,.1 0,.26 C0,.42 .12,.5 .26,.58 C.4,.66 .48,.72 .48,.83 C.48,.93 .41,1 .31,1 "
        "C.2,1 .13,.93 .13,.83 C.13,.62 .5,.3 .84,0"
    ],
    "-": ["M0,.5 H.26"],
}

# Round points, as centre and radius in weights of the pen.
POINTS = {".": (0.0, 0.0, 0.62), "·": (0.0, 0.5, 0.9)}

WORD_SPACE = 0.42
"""White between two words, in cap heights."""

ROWS = np.linspace(0.02, 0.98, 13)
"""Heights at which the white between two letters is measured, in cap heights."""

DEEPEST = 0.26
"""White further in than this does not count: the eye does not look into a letter's bays."""


CLOSEST = 0.84
"""Least distance between two letters' outlines, as a share of the gap."""

SHARP = 0.25
"""Sine of the turn above which a centre line has a corner rather than a bend."""


def set_line(text: str, cap: float, pen: Pen, gap: float = 0.2) -> list[tuple[float, MultiPolygon]]:
    """Set one line and return, for each letter, its middle along the line and its outline.

    ``cap`` is the height of the drawn capitals in mm; ``gap`` the mean white between two letters in cap heights. Each
    outline is in mm, y up, with x = 0 in the middle of the letter and y = 0 on the baseline; the line begins at 0.
    """
    placed: list[tuple[float, MultiPolygon]] = []
    cursor, before = 0.0, None
    for character in text:
        if character == " ":
            cursor, before = cursor + WORD_SPACE, None
            continue
        outline = draw_letter(character, pen)
        left, _, right, _ = outline.bounds
        if placed:
            cursor += gap if before is None else _white_between(before, outline, gap)
        middle = cursor + (right - left) / 2
        placed.append((middle, affinity.translate(outline, -(left + right) / 2, 0)))
        cursor, before = cursor + right - left, outline
    return [(middle * cap, affinity.scale(outline, cap, cap, origin=(0, 0))) for middle, outline in placed]


@cache
def draw_letter(character: str, pen: Pen) -> MultiPolygon:
    """Return the outline of one letter with its drawn height scaled to 1."""
    if character in POINTS:
        x, y, radius = POINTS[character]
        drawn = Point(x, y).buffer(radius * pen.weight, quad_segs=12)
    else:
        strokes = [_centre_line(path) for path in LETTERS[character]]
        joined = [LineString(line) for line, _ in strokes]
        parts = [
            _draw_stroke(line, closed, joined[:number] + joined[number + 1 :], pen)
            for number, (line, closed) in enumerate(strokes)
        ]
        drawn = unary_union(parts)
    # The pen reaches half a weight over the skeleton's top and foot; bring that to one cap height.
    share = 1 / (1 + 2 * _overhang(pen))
    drawn = affinity.scale(affinity.translate(drawn, 0, (1 / share - 1) / 2), share, share, origin=(0, 0))
    drawn = drawn.simplify(0.0008)
    return drawn if isinstance(drawn, MultiPolygon) else MultiPolygon([drawn])


def set_straight(text: str, cap: float, pen: Pen, start: tuple[float, float], *, gap: float) -> list[MultiPolygon]:
    """Set a line that begins at a place and runs to the right."""
    return [affinity.translate(shape, start[0] + at, start[1]) for at, shape in set_line(text, cap, pen, gap)]


def set_to_length(
    text: str, cap: float, pen: Pen, start: tuple[float, float], length: float
) -> tuple[list[MultiPolygon], float]:
    """Set a line so that it is just so long, and return it with the gap that this took."""
    narrow, wide = 0.05, 1.0
    for _ in range(30):
        gap = (narrow + wide) / 2
        line = set_straight(text, cap, pen, start, gap=gap)
        narrow, wide = (gap, wide) if line[-1].bounds[2] < start[0] + length else (narrow, gap)
    return line, gap


def set_on_circle(
    text: str, cap: float, pen: Pen, *, radius: float, gap: float, below: bool = False
) -> list[MultiPolygon]:
    """Set a line round the origin, its letters between ``radius`` and one cap height further out.

    Above, it reads clockwise; ``below``, it reads left to right along the foot of the circle.
    """
    placed = set_line(text, cap, pen, gap)
    length = placed[-1][0] + placed[-1][1].bounds[2]
    shapes = []
    for at, shape in placed:
        # Spacing is judged at half the capitals' height, where the letters neither crowd nor part.
        turn = math.degrees((length / 2 - at) / (radius + cap / 2))
        if below:
            shapes.append(affinity.rotate(affinity.translate(shape, 0, -radius - cap), -turn, origin=(0, 0)))
        else:
            shapes.append(affinity.rotate(affinity.translate(shape, 0, radius), turn, origin=(0, 0)))
    return shapes


def _white_between(before: MultiPolygon, after: MultiPolygon, gap: float) -> float:
    """Return the distance between two letters' boxes at which the white between them has the mean depth ``gap``."""
    depths = []
    for row in ROWS:
        level = box(-9, row - 0.03, 9, row + 0.03)
        left, right = before.intersection(level), after.intersection(level)
        bay_left = DEEPEST if left.is_empty else before.bounds[2] - left.bounds[2]
        bay_right = DEEPEST if right.is_empty else right.bounds[0] - after.bounds[0]
        depths.append(min(bay_left, DEEPEST) + min(bay_right, DEEPEST))
    white = max(gap * 1.35 - float(np.mean(depths)) * 0.8, 0.0)
    moved = affinity.translate(after, before.bounds[2] - after.bounds[0] + white, 0)
    # Feet and arms that reach out towards each other still keep apart.
    return white + max(0.0, CLOSEST * gap - before.distance(moved))


def _centre_line(notation: str) -> tuple[np.ndarray, bool]:
    """Return the points of a centre line, finely sampled, and whether it is closed."""
    points: list[tuple[float, float]] = []
    closed = False
    for segment in Path(notation):
        if isinstance(segment, Move):
            points.append((segment.end.x, segment.end.y))
        elif isinstance(segment, Line | Close):
            closed = closed or isinstance(segment, Close)
            start, end = np.array(points[-1]), np.array([segment.end.x, segment.end.y])
            steps = max(2, int(np.hypot(*(end - start)) / 0.02))
            points += [tuple(start + (end - start) * step / steps) for step in range(1, steps + 1)]
        else:
            points += [(point.x, point.y) for point in (segment.point(step / 40) for step in range(1, 41))]
    line = np.array(points)
    keep = np.r_[True, np.hypot(*np.diff(line, axis=0).T) > 1e-9]
    return line[keep], closed


def _draw_stroke(line: np.ndarray, closed: bool, others: list[LineString], pen: Pen) -> Polygon:
    """Return the area that the pen covers along a centre line."""
    free = [not closed and _is_free(line, others, pen), not closed and _is_free(line[::-1], others, pen)]
    along = np.r_[0, np.cumsum(np.hypot(*np.diff(line, axis=0).T))]
    swell = 1 + pen.flare * (free[0] * np.exp(-along / pen.weight) + free[1] * np.exp((along - along[-1]) / pen.weight))
    directions = _directions(line)
    turns = np.abs(_cross(directions[:-1], directions[1:]))
    corners = [0, *(np.flatnonzero(turns > SHARP) + 1), len(line) - 1]
    parts = []
    for first, last in pairwise(corners):
        run = line[first : last + 1].copy()
        runs_on = _directions(run)
        middles = np.vstack([runs_on[:1], runs_on[:-1] + runs_on[1:], runs_on[-1:]])
        if closed and len(corners) == 2:
            # A line that closes smoothly has one direction where it begins and ends.
            middles[[0, -1]] = middles[0] + middles[-1]
        middles /= np.hypot(*middles.T)[:, None]
        half = pen.weight / 2 * _nib(middles, pen) * swell[first : last + 1]
        if free[0] and first == 0:
            run[0] = run[0] - middles[0] * _reach(run[0], middles[0], half[0], pen)
        if free[1] and last == len(line) - 1:
            run[-1] = run[-1] + middles[-1] * _reach(run[-1], middles[-1], half[-1], pen)
        side = np.column_stack([-middles[:, 1], middles[:, 0]]) * half[:, None]
        parts += [
            Polygon([run[at] + side[at], run[at + 1] + side[at + 1], run[at + 1] - side[at + 1], run[at] - side[at]])
            for at in range(len(run) - 1)
        ]
    joints = [(at, directions[at - 1], directions[at]) for at in corners[1:-1]]
    if closed and abs(_cross(directions[-1], directions[0])) > SHARP:
        joints.append((0, directions[-1], directions[0]))
    parts += [_mitre(line[at], arriving, leaving, pen.weight / 2 * swell[at], pen) for at, arriving, leaving in joints]
    drawn = unary_union([part.buffer(1e-6) for part in parts])
    # Sharp corners and slanting feet are cut level with the other letters' tops and feet.
    lowest, highest = min(line[:, 1].min(), 0) - _overhang(pen), max(line[:, 1].max(), 1) + _overhang(pen)
    return drawn.intersection(box(-9, lowest, 9, highest))


def _is_free(line: np.ndarray, others: list[LineString], pen: Pen) -> bool:
    """Tell whether the stroke's beginning stands free, or runs into another stroke or itself."""
    away = np.r_[0, np.cumsum(np.hypot(*np.diff(line, axis=0).T))] > 0.35
    itself = [LineString(line[away])] if away.sum() > 1 else []
    return all(other.distance(Point(line[0])) > pen.weight * 0.3 for other in (*others, *itself))


def _reach(end: np.ndarray, direction: np.ndarray, half: float, pen: Pen) -> float:
    """Return how far a free end goes past its skeleton: to the full height of the capitals, and cut level there."""
    on_edge = min(abs(end[1]), abs(end[1] - 1)) < 0.01
    if on_edge and abs(direction[1]) > 0.5:
        return float((_overhang(pen) + half * abs(direction[0])) / abs(direction[1]))
    return _overhang(pen)


def _overhang(pen: Pen) -> float:
    """Return how far a level stroke's ink reaches past its centre line, in cap heights of the skeleton."""
    return pen.weight / 2 * float(_nib(np.array([[1.0, 0.0]]), pen)[0])


def _mitre(corner: np.ndarray, arriving: np.ndarray, leaving: np.ndarray, half: float, pen: Pen) -> Polygon:
    """Return the area on the outside of a corner, out to where the two strokes' outer edges meet."""
    halves = half * _nib(np.array([arriving, leaving]), pen)
    side = -np.sign(_cross(arriving, leaving))
    first = corner + side * np.array([-arriving[1], arriving[0]]) * halves[0]
    second = corner + side * np.array([-leaving[1], leaving[0]]) * halves[1]
    # first + a * arriving = second - b * leaving
    reach, _ = np.linalg.solve(np.column_stack([arriving, leaving]), second - first)
    return Polygon([corner, first, first + reach * arriving, second] if 0 < reach < 1 else [corner, first, second])


def _directions(line: np.ndarray) -> np.ndarray:
    steps = np.diff(line, axis=0)
    return steps / np.hypot(*steps.T)[:, None]


def _cross(first: np.ndarray, second: np.ndarray) -> np.ndarray:
    return first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0]


def _nib(directions: np.ndarray, pen: Pen) -> np.ndarray:
    """Return the pen's relative width for each direction of travel; a broad nib held at an angle, softened."""
    angles = np.degrees(np.arctan2(directions[:, 1], directions[:, 0]))
    return pen.thin + (1 - pen.thin) * np.abs(np.sin(np.radians(angles - pen.angle)))
