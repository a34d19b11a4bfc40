"""The finest register of a print: its edges laid on those of the face, wherever they are near enough."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...errors import PrintError
from ...plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of
from ..finding.encodings import AS_LIGHT, AS_WRITTEN, Encoding, encoding_of
from ..finding.scans import Scan
from ..finding.views import View, as_seen
from ..finding.vision import vision

Floats = NDArray[np.float64]
Tones = NDArray[np.float32]

_PITCH = 0.025  # of the map of distances, mm
_FAR = 3.0  # mm; farther from every edge, the map says no more than that
_POINTS = 6000  # of a print's edges, that are laid on the face's
_ROUNDS = 24
_LOOKED_AT, _FEW = 3000, 40  # places along the face's edge at which blur is looked at, and too few of them
_REACH = 0.45  # mm of ink, and of paper, beside these
_MEASURED = 2500  # points from which the spread is taken in the end


class LaidOn(NamedTuple):
    """``view`` takes mm, paper frame, to pixels; ``spread``: mean over edges, ``error``: their middle stray, mm."""

    view: View
    spread: float
    error: float


def lay_on_edges(
    scan: Scan, face: MultiPolygon, view: View, *, flat: bool, power: float = AS_WRITTEN, rigid: bool = False
) -> LaidOn:
    """Return the finest register: a print's edges laid on those of the face, wherever they are near enough.

    ``flat``: whether a flatbed scanner saw it, without perspective; ``power``: takes brightness to the scale in which
    it was blurred; ``rigid``: shifted and turned only. Raises :class:`~stampwright.errors.PrintError` when the print is
    too faint.
    """
    distances, corner = distances_to(face)
    pixels = edges_of(scan, view, face, power)
    if len(pixels) < 50:
        raise PrintError(f"{scan.name}: the print is too faint to be compared; scan it darker, or ink anew")
    spread, reach, error = 0.0, 2.0, np.inf
    view = replace(view)
    for turn in range(_ROUNDS):
        count = 3 if rigid else 6 if flat or turn < 2 else 8
        places = view.unproject(pixels)
        away = distance_at(distances, corner, places)
        near = np.abs(away - spread) < reach
        if np.count_nonzero(near) < 30:
            break
        view = _step(view, pixels[near], distances, corner, (spread, reach), count=count)
        away = distance_at(distances, corner, view.unproject(pixels))
        near = np.abs(away - spread) < reach
        spread = float(np.median(away[near]))
        error = float(np.median(np.abs(away[near] - spread)))
        reach = max(min(0.85 * reach, 8.0 * error), 0.15)
    places = view.unproject(pixels)
    kept = np.flatnonzero(np.abs(distance_at(distances, corner, places) - spread) < reach)
    spread, error = _measured_spread(face, places[kept[:: max(1, len(kept) // _MEASURED)]], (spread, error))
    return LaidOn(view, spread, error)


def _measured_spread(face: MultiPolygon, places: Floats, about: tuple[float, float]) -> tuple[float, float]:
    """Return the spread and its middle error from the distances of edges to the face itself, finer than any map."""
    if len(places) < 10:
        return about
    away = shapely.distance(face.boundary, shapely.points(places))
    away = np.where(shapely.contains_xy(face, *places.T), -away, away)
    spread = float(np.median(away))
    return spread, float(np.median(np.abs(away - spread)))


def encoding_at(scan: Scan, face: MultiPolygon, laid: LaidOn) -> Encoding:
    """Return the scale in which a print was blurred, from its edges that have ink and paper enough to either side."""
    cv2 = vision()
    distances, corner = distances_to(face)
    boundary = face.boundary
    steps = np.linspace(0.0, boundary.length, _LOOKED_AT, endpoint=False)
    at = shapely.get_coordinates(shapely.line_interpolate_point(boundary, steps))
    wide = 0.05
    slope = np.stack(
        [
            distance_at(distances, corner, at + step) - distance_at(distances, corner, at - step)
            for step in (np.array([wide, 0.0]), np.array([0.0, wide]))
        ],
        axis=-1,
    )
    out = slope / np.maximum(np.hypot(*slope.T), 1e-9)[:, None]
    ends = [distance_at(distances, corner, at + sign * _REACH * out) for sign in (-1.0, 1.0)]
    open_wide = (np.abs(ends[0] + _REACH) < 0.05) & (np.abs(ends[1] - _REACH) < 0.05)
    if np.count_nonzero(open_wide) < _FEW:
        return Encoding(AS_LIGHT, False)
    grid = np.linspace(-_REACH, _REACH, 73)
    lines = at[open_wide][:, None, :] + (grid[:, None] + laid.spread) * out[open_wide][:, None, :]
    level = np.maximum(as_seen(scan.level, laid.view.project(lines), cv2).astype(np.float64), 0.0)
    return encoding_of(scan, {power: _mean_edge(grid, level**power) for power in (AS_WRITTEN, AS_LIGHT)}, few=True)


def _mean_edge(grid: Floats, levels: Floats) -> tuple[Floats, Floats]:
    """Return the mean edge from ink (0) to paper (1), (n,) each, of edges laid over each other where they are half."""
    ink, paper = np.median(levels[:, :12], axis=1)[:, None], np.median(levels[:, -12:], axis=1)[:, None]
    seen = (levels - ink) / np.maximum(paper - ink, 1e-6)
    clear = (paper - ink)[:, 0] > 0.5 * float(np.percentile(paper - ink, 90))
    laid = []
    for each in seen[clear]:
        half = int(np.argmax(each > 0.5))
        if half > 0:
            share = (0.5 - each[half - 1]) / max(each[half] - each[half - 1], 1e-9)
            laid.append(np.interp(grid, grid - grid[half - 1] - share * (grid[1] - grid[0]), each))
    return grid, np.median(np.array(laid), axis=0)


def edges_of(scan: Scan, view: View, face: MultiPolygon, power: float = AS_WRITTEN) -> Floats:
    """Return points on the edges of ink near where the face lies, (n, 2) pixels, to a fraction of a pixel.

    ``power``: takes brightness to the scale in which it was blurred, where edges lie half-way.
    """
    left, bottom, right, top = face.bounds
    margin = 2.0
    corners = np.array([(x, y) for x in (left - margin, right + margin) for y in (bottom - margin, top + margin)])
    seen = view.project(corners)
    rows, columns = scan.shape
    low = np.clip(np.floor(seen.min(axis=0)).astype(int), 0, (columns - 1, rows - 1))
    high = np.clip(np.ceil(seen.max(axis=0)).astype(int) + 1, 1, (columns, rows))
    part = np.maximum(scan.level[low[1] : high[1], low[0] : high[0]], 0.0) ** np.float32(power)
    part = vision().GaussianBlur(part, (0, 0), 1.0)
    cut = (1.0 + solid_level(scan, view, face) ** power) / 2.0
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


def distances_to(face: MultiPolygon) -> tuple[Tones, Floats]:
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


def distance_at(distances: Tones, corner: Floats, places: Floats) -> Floats:
    """Return how far places, (n, 2) mm, lie outside a face, mm, by the map of :func:`distances_to`."""
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
    away = distance_at(distances, corner, places) - spread
    wide = 0.06
    slope = np.stack(
        [
            (distance_at(distances, corner, places + step) - distance_at(distances, corner, places - step)) / (2 * wide)
            for step in (np.array([wide, 0.0]), np.array([0.0, wide]))
        ],
        axis=-1,
    )
    half = max(float(np.ptp(places, axis=0).max()) / 2, 1.0)
    x, y = (places / half).T
    one, none = np.ones_like(x), np.zeros_like(x)
    moves = [(one, none), (none, one), (x, none), (none, x), (y, none), (none, y)]
    moves += [(x * x, x * y), (x * y, y * y)]
    if count == 3:
        moves[2] = (-y, x)
    design = np.stack([slope[:, 0] * u + slope[:, 1] * v for u, v in moves[:count]], axis=-1)
    weight = 1.0 / (1.0 + (away / max(reach / 4.0, 0.1)) ** 2)
    # Along an edge nothing is known: as little as possible is moved there.
    square = design.T @ (weight[:, None] * design) + 1e-6 * len(x) * np.eye(count)
    change = np.linalg.solve(square, -design.T @ (weight * away))
    full = np.zeros(8)
    full[:count] = change
    if count == 3:
        full[[2, 3, 4]] = 0.0, change[2], -change[2]
    a, b, c, d, e, f, g, h = full
    # A place p came where p + change should be: the view is taken back by it.
    shift = np.array([[1 + c / half, e / half, a], [d / half, 1 + f / half, b], [-g / half**2, -h / half**2, 1.0]])
    return replace(view, matrix=view.matrix @ np.linalg.inv(shift))
