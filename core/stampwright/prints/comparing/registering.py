"""A scan brought into register with a face: coarsely by correlation over all turns and sizes, finely by its edges."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...errors import PrintError
from ...plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of
from ..finding.scans import Scan
from ..finding.views import View, as_seen
from ..finding.vision import vision

Floats = NDArray[np.float64]
Tones = NDArray[np.float32]

COARSE = 72
"""Pixels of the longer side of a face when it is looked for."""

LEAST_LIKE = 0.55
"""Correlation of a print with the face, from which on it is taken for a print of it."""

LEAST_DENSITY = 5.0
"""Pixels to the millimetre; a print that shows fewer is too small in its picture to be compared."""

_PYRAMID = (60, 120, 240)
"""Pixels of the face's longer side at which it is drawn nearer, one after the other."""

_CLEARLY = 0.06  # more alike, of the correlation
_TURN = 4.0  # degrees between turns that are tried
_SIZES = (1.0, 0.92, 1.08, 0.85, 1.16)  # tried where nothing says how large the picture is
_PITCH = 0.025  # of the map of distances, mm
_FAR = 3.0  # mm; farther from every edge, the map says no more than that
_POINTS = 6000  # of a print's edges, that are laid on the face's
_ROUNDS = 24
_MEASURED = 2500  # points from which the spread is taken in the end


@dataclass(frozen=True, eq=False)
class Registered:
    """A scan in register with a face: ``view`` takes mm, paper frame, to pixels; ``spread`` is the mean over its edges.

    ``like``: the coarse correlation; ``error``: how far edges stray from where the spread puts them, mm (middle value).
    """

    scan: Scan
    view: View
    spread: float
    like: float
    error: float


@dataclass(frozen=True)
class _Guess:
    like: float
    turn: float
    density: float
    x: float
    y: float
    mirrored: bool


def register(scan: Scan, face: MultiPolygon) -> Registered:
    """Bring a scan into register with a face, mm, paper frame.

    The size is taken from the scanner's resolution where it is known. What is missing, or printed too much, moves
    nothing: edges far from where they should be do not count. Raises :class:`~stampwright.errors.PrintError`, with the
    reason, when no print of that face is seen.
    """
    guess = _look_for(scan, face)
    if guess.like < LEAST_LIKE:
        raise PrintError(
            f"{scan.name}: no print of this stamp is seen (likeness {guess.like:.2f}, least {LEAST_LIKE:g}); scan the "
            "whole print, larger and by itself, or name the folder of the stamp that made it"
        )
    if guess.mirrored:
        raise PrintError(f"{scan.name}: the print is mirrored: the picture was turned over, or the die made mirrored")
    if guess.density < LEAST_DENSITY:
        raise PrintError(
            f"{scan.name}: the print is too small in the picture ({guess.density * MM_PER_INCH:.0f} pixels to the "
            "inch); scan at 300 dpi or more, or hold the camera nearer"
        )
    cos, sin = math.cos(math.radians(guess.turn)), math.sin(math.radians(guess.turn))
    d = guess.density
    matrix = np.array([[d * cos, -d * sin, guess.x], [-d * sin, -d * cos, guess.y], [0.0, 0.0, 1.0]])
    view = _drawn_near(scan, face, View(matrix), flat=scan.dpi is not None)
    return _laid_on_edges(scan, face, view, guess.like, flat=scan.dpi is not None)


def _look_for(scan: Scan, face: MultiPolygon) -> _Guess:
    """Return where, how turned and how large a print of the face is most likely seen."""
    cv2 = vision()
    left, bottom, right, top = face.bounds
    side = max(right - left, top - bottom)
    ink = np.clip(1.0 - scan.level, 0.0, 1.0)
    densities = [float(np.sqrt(scan.dpi[0] * scan.dpi[1])) / MM_PER_INCH] if scan.dpi else _densities(ink, face, cv2)
    found_at = {mirrored: _Guess(-1.0, 0.0, 1.0, 0.0, 0.0, mirrored) for mirrored in (False, True)}
    template, middle = _template(face, COARSE / side)
    for density in densities:
        shrink = COARSE / (side * density)
        if shrink > 4.0:
            continue
        small = cv2.resize(ink, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA if shrink < 1 else 1)
        small = cv2.GaussianBlur(small, (0, 0), 1.0)
        for mirrored in (False, True):
            for turn in np.arange(0.0, 360.0, _TURN):
                found = _correlate(small, template, float(turn), mirrored, cv2)
                if found is not None and found[0] > found_at[mirrored].like:
                    like, x, y = found
                    found_at[mirrored] = _Guess(like, float(turn), density, x / shrink, y / shrink, mirrored)
    # Much art is nearly its own mirror image: only what is clearly more alike is mirrored.
    best = found_at[found_at[True].like > found_at[False].like + _CLEARLY]
    # The template turned about its own middle; the frame's origin lies elsewhere.
    cos, sin = math.cos(math.radians(best.turn)), math.sin(math.radians(best.turn))
    off_x, off_y = best.density * middle[0], best.density * middle[1]
    return replace(best, x=best.x - (off_x * cos - off_y * sin), y=best.y + (off_x * sin + off_y * cos))


def _drawn_near(scan: Scan, face: MultiPolygon, view: View, *, flat: bool) -> View:
    """Return a view brought near enough for edges to find each other, by correlation from blurred to sharp.

    G. D. Evangelidis and E. Z. Psarakis, Parametric image alignment using enhanced correlation coefficient (2008), as
    the library has it. Where that finds no way on, the view stays as it is.
    """
    cv2 = vision()
    motion = cv2.MOTION_AFFINE if flat else cv2.MOTION_HOMOGRAPHY
    side = max(face.bounds[2] - face.bounds[0], face.bounds[3] - face.bounds[1])
    for pixels in _PYRAMID:
        per_mm = pixels / side
        template, middle = _template(face, per_mm)
        size = template.shape[0]
        # From a pixel of the template to mm, and on to the scan.
        to_mm = np.array(
            [
                [1 / per_mm, 0.0, middle[0] - (size - 1) / 2 / per_mm],
                [0.0, -1 / per_mm, middle[1] + (size - 1) / 2 / per_mm],
                [0.0, 0.0, 1.0],
            ]
        )
        column, row = np.meshgrid(np.arange(size), np.arange(size))
        places = np.stack((column, row), axis=-1) / per_mm * (1.0, -1.0) + to_mm[:2, 2]
        ink = 1.0 - as_seen(
            cv2.GaussianBlur(scan.level, (0, 0), 0.4 / per_mm * view.pixels_per_mm(middle)), view.project(places), cv2
        )
        warp = np.eye(3, dtype=np.float32)[: 2 if flat else 3]
        ends = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 80, 1e-6)
        try:
            _, warp = cv2.findTransformECC(
                cv2.GaussianBlur(template, (0, 0), 1.5), cv2.GaussianBlur(ink, (0, 0), 1.5), warp, motion, ends, None, 3
            )
        except cv2.error:
            continue
        whole = np.vstack((warp, (0.0, 0.0, 1.0))) if flat else warp
        view = replace(view, matrix=view.matrix @ to_mm @ whole @ np.linalg.inv(to_mm))
    return view


def _densities(ink: Tones, face: MultiPolygon, cv2: Any) -> list[float]:
    """Return how many pixels to the millimetre a photograph may have, by how much ink it shows."""
    rows, columns = ink.shape
    shrink = 500.0 / max(rows, columns)
    small = cv2.resize(ink, None, fx=shrink, fy=shrink, interpolation=cv2.INTER_AREA)
    cut = max(0.3 * float(np.percentile(small, 99.8)), 0.08)
    # Shadows of the paper's edge and the table are far larger than strokes: what is wide is no print.
    dark = (small > cut).astype(np.uint8)
    wide = cv2.morphologyEx(dark, cv2.MORPH_OPEN, np.ones((61, 61), np.uint8))
    area = float(
        np.where(wide > 0, 0.0, np.where(dark > 0, small / max(float(np.percentile(small, 99.5)), 0.1), 0)).sum()
    )
    density = math.sqrt(max(area, 1.0) / face.buffer(0.1).area) / shrink
    return [density * size for size in _SIZES]


def _template(face: MultiPolygon, per_mm: float) -> tuple[Tones, tuple[float, float]]:
    """Return the face as ink, 0 to 1, on a square that holds it whatever its turn, and its middle, mm."""
    left, bottom, right, top = face.bounds
    middle = ((left + right) / 2, (bottom + top) / 2)
    half = math.hypot(right - left, top - bottom) / 2 + 2.0 / per_mm
    dpi = per_mm * MM_PER_INCH
    pixels = 2 * round(half * per_mm) + 1
    corner = (middle[0] - pixels / per_mm / 2, middle[1] - pixels / per_mm / 2)
    picture = picture_of(face, (pixels, pixels), corner, dpi)
    return (255.0 - picture.astype(np.float32)) / 255.0, middle


def _correlate(
    small: Tones, template: Tones, turn: float, mirrored: bool, cv2: Any
) -> tuple[float, float, float] | None:
    """Return how alike a picture and the turned template are at best, 0 to 1, and where its middle then lies."""
    size = template.shape[0]
    half = (size - 1) / 2.0
    drawn = template[:, ::-1] if mirrored else template
    spin = cv2.getRotationMatrix2D((half, half), turn, 1.0)
    turned = cv2.GaussianBlur(cv2.warpAffine(np.ascontiguousarray(drawn), spin, (size, size)), (0, 0), 1.0)
    # Room round the picture: a print may lie at its edge.
    room = size // 2
    padded = cv2.copyMakeBorder(small, room, room, room, room, cv2.BORDER_CONSTANT, value=0.0)
    if padded.shape[0] < size or padded.shape[1] < size:
        return None
    like = cv2.matchTemplate(padded, turned, cv2.TM_CCOEFF_NORMED)
    _, highest, _, at = cv2.minMaxLoc(like)
    return float(highest), at[0] + half - room + 0.5, at[1] + half - room + 0.5


def _laid_on_edges(scan: Scan, face: MultiPolygon, view: View, like: float, *, flat: bool) -> Registered:
    """Return the finest register: a print's edges laid on those of the face, wherever they are near enough."""
    distances, corner = _distances(face)
    pixels = _edges_of(scan, view, face)
    if len(pixels) < 50:
        raise PrintError(f"{scan.name}: the print is too faint to be compared; scan it darker, or ink anew")
    spread, reach, error = 0.0, 2.0, np.inf
    view = replace(view)
    for turn in range(_ROUNDS):
        count = 6 if flat or turn < 2 else 8
        places = view.unproject(pixels)
        away = _distance_at(distances, corner, places)
        near = np.abs(away - spread) < reach
        if np.count_nonzero(near) < 30:
            break
        view = _step(view, pixels[near], distances, corner, (spread, reach), count=count)
        away = _distance_at(distances, corner, view.unproject(pixels))
        near = np.abs(away - spread) < reach
        spread = float(np.median(away[near]))
        error = float(np.median(np.abs(away[near] - spread)))
        reach = max(min(0.85 * reach, 8.0 * error), 0.15)
    places = view.unproject(pixels)
    kept = np.flatnonzero(np.abs(_distance_at(distances, corner, places) - spread) < reach)
    spread, error = _measured_spread(face, places[kept[:: max(1, len(kept) // _MEASURED)]], (spread, error))
    return Registered(scan, view, spread, like, error)


def _measured_spread(face: MultiPolygon, places: Floats, about: tuple[float, float]) -> tuple[float, float]:
    """Return the spread and its middle error from the distances of edges to the face itself, finer than any map."""
    if len(places) < 10:
        return about
    away = shapely.distance(face.boundary, shapely.points(places))
    away = np.where(shapely.contains_xy(face, *places.T), -away, away)
    spread = float(np.median(away))
    return spread, float(np.median(np.abs(away - spread)))


def _edges_of(scan: Scan, view: View, face: MultiPolygon) -> Floats:
    """Return points on the edges of ink near where the face lies, (n, 2) pixels, to a fraction of a pixel."""
    left, bottom, right, top = face.bounds
    margin = 2.0
    corners = np.array([(x, y) for x in (left - margin, right + margin) for y in (bottom - margin, top + margin)])
    seen = view.project(corners)
    rows, columns = scan.shape
    low = np.clip(np.floor(seen.min(axis=0)).astype(int), 0, (columns - 1, rows - 1))
    high = np.clip(np.ceil(seen.max(axis=0)).astype(int) + 1, 1, (columns, rows))
    part = vision().GaussianBlur(scan.level[low[1] : high[1], low[0] : high[0]], (0, 0), 1.0)
    cut = (1.0 + solid_level(scan, view, face)) / 2.0
    below = part < cut
    found = []
    for axis in (0, 1):
        one, other = (part[:-1], part[1:]) if axis == 0 else (part[:, :-1], part[:, 1:])
        passed = (below[:-1] != below[1:]) if axis == 0 else (below[:, :-1] != below[:, 1:])
        row, column = np.nonzero(passed)
        share = (cut - one[row, column]) / (other[row, column] - one[row, column])
        step = np.array([(0.0, 1.0), (1.0, 0.0)][axis])
        found.append(np.stack((column, row), axis=-1) + share[:, None] * step)
    points = np.concatenate(found) + low
    # Evenly thinned: a fixed choice, so that the same scan gives the same answer.
    return np.asarray(points[:: max(1, len(points) // _POINTS)], dtype=np.float64)


def solid_level(scan: Scan, view: View, face: MultiPolygon) -> float:
    """Return the brightness of solid ink over the paper's, where the face should have printed."""
    (left, bottom, right, top), step = face.bounds, 0.25
    x, y = np.meshgrid(np.arange(left, right, step), np.arange(bottom, top, step))
    shape, corner = picture_grid(face.bounds, MM_PER_INCH / step)
    inked = picture_of(face, shape, corner, MM_PER_INCH / step)[::-1] < 40
    rows = np.clip(((y - corner[1]) / step).astype(int), 0, shape[0] - 1)
    columns = np.clip(((x - corner[0]) / step).astype(int), 0, shape[1] - 1)
    inside = inked[rows, columns]
    if not inside.any():
        inside = np.ones_like(inside)
    level = as_seen(scan.level, view.project(np.stack((x, y), axis=-1)[inside]), vision())
    return float(np.clip(np.percentile(level, 25), 0.0, 0.9))


def _distances(face: MultiPolygon) -> tuple[Tones, Floats]:
    """Return how far places lie outside a face, below 0 inside, mm, as a map, lowest row first, and its corner."""
    cv2 = vision()
    left, bottom, right, top = face.bounds
    dpi = MM_PER_INCH / _PITCH
    shape, corner = picture_grid((left - _FAR, bottom - _FAR, right + _FAR, top + _FAR), dpi)
    cover = picture_of(face, shape, corner, dpi)[::-1].astype(np.float32) / 255.0
    bare = (cover >= 0.5).astype(np.uint8)
    outside = cv2.distanceTransform(bare, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    inside = cv2.distanceTransform(1 - bare, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    # From pixel to pixel; the edge lies half a pixel before the first, and in it where its cover says.
    far = np.where(bare > 0, outside - 0.5, 0.5 - inside)
    edge = np.abs(far) < 0.75
    far = np.where(edge, cv2.GaussianBlur(far, (0, 0), 0.6), far)
    return np.asarray(far * _PITCH, dtype=np.float32), np.array(corner) + _PITCH / 2


def _distance_at(distances: Tones, corner: Floats, places: Floats) -> Floats:
    at = (places - corner) / _PITCH
    return as_seen(distances, at, vision()).astype(np.float64)


def _step(
    view: View, pixels: Floats, distances: Tones, corner: Floats, about: tuple[float, float], *, count: int
) -> View:
    """Return a view moved by one step of least squares, so that edges come nearer to the spread's distance.

    ``about``: the spread, and within how much of it edges count.
    """
    spread, reach = about
    places = view.unproject(pixels)
    away = _distance_at(distances, corner, places) - spread
    wide = 0.06
    slope = np.stack(
        [
            (_distance_at(distances, corner, places + step) - _distance_at(distances, corner, places - step))
            / (2 * wide)
            for step in (np.array([wide, 0.0]), np.array([0.0, wide]))
        ],
        axis=-1,
    )
    half = max(float(np.ptp(places, axis=0).max()) / 2, 1.0)
    x, y = (places / half).T
    one, none = np.ones_like(x), np.zeros_like(x)
    moves = [(one, none), (none, one), (x, none), (none, x), (y, none), (none, y)]
    moves += [(x * x, x * y), (x * y, y * y)]
    design = np.stack([slope[:, 0] * u + slope[:, 1] * v for u, v in moves[:count]], axis=-1)
    weight = 1.0 / (1.0 + (away / max(reach / 4.0, 0.1)) ** 2)
    # Along an edge nothing is known: as little as possible is moved there.
    square = design.T @ (weight[:, None] * design) + 1e-6 * len(x) * np.eye(count)
    change = np.linalg.solve(square, -design.T @ (weight * away))
    full = np.zeros(8)
    full[:count] = change
    a, b, c, d, e, f, g, h = full
    # A place p came where p + change should be: the view is taken back by it.
    shift = np.array([[1 + c / half, e / half, a], [d / half, 1 + f / half, b], [-g / half**2, -h / half**2, 1.0]])
    return replace(view, matrix=view.matrix @ np.linalg.inv(shift))
