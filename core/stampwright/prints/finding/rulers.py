"""Rulers beside a print: ticks a millimetre apart, or the bar of 10 mm that tickets and proofs have."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from .scans import Scan
from .views import View
from .vision import vision

Floats = NDArray[np.float64]

BAR = 10.0
"""Length of the bar below proofs, mm, between the middles of its ends."""

_MOST_PIXELS = 14_000_000
_REACH = 170.0  # how far round the print is looked, mm
_NEAR = 0.07  # of a length that the print may be off and still tell ticks from other things
_LEAST_TICKS = 12
_OF_A_BAR = 0.001  # share by which the bar's length is off at most: a sixth of a pixel at 15 pixels to the mm


class Ruled(NamedTuple):
    """A known length: ``true`` mm, how long it is by the print's own millimetres, and its error as a share."""

    true: float
    seen: float
    error: float


def find_ruler(scan: Scan, view: View, size: float) -> Ruled | None:
    """Return the millimetre of the longest row of ticks in the plane of a print of this size, mm; None without any."""
    cv2 = vision()
    flat = _laid_flat(scan, view, size, cv2)
    ticks = [each for each in _pieces(flat, cv2) if 1.2 < each.long < 14.0 and each.wide < 0.7 and each.slim > 2.5]
    best: Ruled | None = None
    longest = 0.0
    used: set[int] = set()
    for first, start in enumerate(ticks):
        if first in used:
            continue
        across = np.array([-np.sin(start.turn), np.cos(start.turn)])
        along_tick = np.array([np.cos(start.turn), np.sin(start.turn)])
        row = [
            (float((each.middle - start.middle) @ across), at)
            for at, each in enumerate(ticks)
            if abs(np.sin(each.turn - start.turn)) < 0.06
            and abs(float((each.middle - start.middle) @ along_tick)) < 0.75 * max(each.long, start.long)
        ]
        row.sort()
        found = _even(np.array([place for place, _ in row]))
        used.update(at for _, at in row)
        if found is not None and found[1] > longest:
            pitch, longest, error = found
            best = Ruled(1.0, pitch, error)
    return best


def find_bar(scan: Scan, view: View, size: float) -> Ruled | None:
    """Return the bar of 10 mm that stands below proofs, in the plane of a print of this size, mm; None without any."""
    cv2 = vision()
    flat = _laid_flat(scan, view, size, cv2)
    for each in _pieces(flat, cv2):
        if not (abs(each.long - BAR) < (_NEAR * BAR + 0.4) and 1.2 < each.wide < 3.0 and each.filled < 0.5):
            continue
        seen = _between_ends(flat, each, cv2)
        if seen is not None and abs(seen / BAR - 1.0) < _NEAR:
            return Ruled(BAR, seen, _OF_A_BAR)
    return None


class _Flat(NamedTuple):
    """The plane of a print laid flat: ink, 0 to 1, ``per_mm`` pixels, and the place of its upper left pixel, mm."""

    ink: NDArray[np.float32]
    per_mm: float
    corner: Floats


class _Piece(NamedTuple):
    """A piece of ink: its middle, turn and measures, mm; ``filled``: share of the box round it."""

    middle: Floats
    turn: float
    long: float
    wide: float
    filled: float

    @property
    def slim(self) -> float:
        return self.long / max(self.wide, 1e-6)


def _laid_flat(scan: Scan, view: View, size: float, cv2: Any) -> _Flat:
    """Return the plane round a print, the print itself left out."""
    rows, columns = scan.shape
    # Along the picture's edge; beyond the horizon of a slanted plane there is nothing.
    along = np.linspace(0.0, 1.0, 9)
    edge = np.concatenate(
        [np.column_stack((along * (columns - 1), np.full(9, y))) for y in (0.0, rows - 1.0)]
        + [np.column_stack((np.full(9, x), along * (rows - 1))) for x in (0.0, columns - 1.0)]
    )
    places = np.clip(view.unproject(edge), -_REACH, _REACH)
    low, high = places.min(axis=0), places.max(axis=0)
    per_mm = min(view.pixels_per_mm(), 24.0, float(np.sqrt(_MOST_PIXELS / max(float((high - low).prod()), 1.0))))
    x = np.arange(low[0], high[0], 1 / per_mm)
    y = np.arange(high[1], low[1], -1 / per_mm)
    ink = np.empty((len(y), len(x)), dtype=np.float32)
    # By strips, so that memory does not grow with the plane.
    for top in range(0, len(y), 512):
        part = np.stack(np.meshgrid(x, y[top : top + 512]), axis=-1)
        maps = view.project(part).astype(np.float32)
        for left in range(0, len(x), 8192):
            seen = cv2.remap(
                scan.level,
                np.ascontiguousarray(maps[:, left : left + 8192]),
                None,
                cv2.INTER_LINEAR,
                borderMode=cv2.BORDER_CONSTANT,
                borderValue=1.0,
            )
            ink[top : top + 512, left : left + 8192] = 1.0 - seen
    ink = np.clip(ink, 0.0, 1.0)
    inside_x, inside_y = np.abs(x) < size / 2 + 0.5, np.abs(y) < size / 2 + 0.5
    ink[np.ix_(inside_y, inside_x)] = 0.0
    return _Flat(ink, per_mm, np.array([x[0], y[0]]))


def _pieces(flat: _Flat, cv2: Any) -> list[_Piece]:
    """Return the pieces of ink in a plane that are about as large as ticks and bars."""
    dark = float(np.percentile(flat.ink[flat.ink > 0.2], 70)) if (flat.ink > 0.2).any() else 1.0
    count, labels, boxes, middles = cv2.connectedComponentsWithStats((flat.ink > 0.45 * dark).astype(np.uint8))
    pieces = []
    for at in range(1, count):
        left, top, wide, high, area = (int(each) for each in boxes[at])
        longest = max(wide, high) / flat.per_mm
        if not 1.0 < longest < 16.0 or area < 4:
            continue
        part = flat.ink[top : top + high, left : left + wide] * (labels[top : top + high, left : left + wide] == at)
        row, column = np.nonzero(part > 0)
        weight = part[row, column].astype(np.float64)
        x, y = column / flat.per_mm, -row / flat.per_mm
        middle = np.array([np.average(x, weights=weight), np.average(y, weights=weight)])
        spread = np.cov(np.stack((x, y)), aweights=weight, bias=True)
        axes = np.linalg.eigh(spread)[1]
        turn = float(np.arctan2(axes[1, 1], axes[0, 1]))
        along = (x - middle[0]) * np.cos(turn) + (y - middle[1]) * np.sin(turn)
        across = -(x - middle[0]) * np.sin(turn) + (y - middle[1]) * np.cos(turn)
        long, broad = float(np.ptp(along)) + 1 / flat.per_mm, float(np.ptp(across)) + 1 / flat.per_mm
        place = middle + flat.corner + np.array([left, -top]) / flat.per_mm
        pieces.append(_Piece(place, turn, long, broad, area / flat.per_mm**2 / (long * broad)))
    del middles
    return pieces


def _even(places: Floats) -> tuple[float, float, float] | None:
    """Return pitch, length and error of the longest row of places about a millimetre apart; None when short."""
    best: tuple[float, float, float] | None = None
    start = 0
    for stop in range(1, len(places) + 1):
        if stop < len(places) and abs((places[stop] - places[stop - 1]) - 1.0) < 2 * _NEAR:
            continue
        row = places[start:stop]
        start = stop
        if len(row) < _LEAST_TICKS:
            continue
        index = np.arange(len(row), dtype=np.float64)
        (pitch, _), covariance = np.polyfit(index, row, 1, cov=True)
        if abs(pitch - 1.0) < _NEAR and (best is None or row[-1] - row[0] > best[1]):
            best = float(pitch), float(row[-1] - row[0]), max(float(np.sqrt(covariance[0, 0])) / float(pitch), 2e-4)
    return best


def _between_ends(flat: _Flat, bar: _Piece, cv2: Any) -> float | None:
    """Return how far the ends of a bar lie apart, mm: middles of the two strokes that close it."""
    along = np.array([np.cos(bar.turn), np.sin(bar.turn)])
    across = np.array([-along[1], along[0]])
    step = 0.25 / flat.per_mm
    offsets = np.arange(-bar.long / 2 - 0.6, bar.long / 2 + 0.6, step)
    # Past the short stroke at the bar's middle, and short of the ends of those at its ends.
    sides = np.concatenate((np.linspace(0.6, 0.85, 6), -np.linspace(0.6, 0.85, 6)))
    places = bar.middle + offsets[:, None, None] * along + sides[:, None] * across
    at = ((places - flat.corner) * (1.0, -1.0) * flat.per_mm).astype(np.float32)
    seen = cv2.remap(flat.ink, at, None, cv2.INTER_LINEAR).reshape(len(offsets), -1).mean(axis=1)
    half = len(offsets) // 2
    ends = []
    for part, place in ((seen[:half], offsets[:half]), (seen[half:], offsets[half:])):
        strong = np.clip(part - 0.35 * float(part.max()), 0.0, None)
        if float(part.max()) < 0.15 or np.count_nonzero(strong) * step > 1.5:
            return None
        ends.append(float((strong * place).sum() / strong.sum()))
    return ends[1] - ends[0]
