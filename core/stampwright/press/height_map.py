"""Looking down on a mesh pixel by pixel (a z-buffer), for meshes too ragged to be cut exactly."""

from __future__ import annotations

import itertools

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..errors import MeshFileError
from .face import region_of_edges
from .raster import MM_PER_INCH, picture_grid, spread_out

_CHUNK = 4_000_000  # pixels looked at in one go, so that memory stays bounded
_FINER = 2  # samples to a pixel each way: a step in height is known only to half a sample

# Which sides of a square of four samples the outline enters and leaves, by which corners are covered, with the covered
# ground on its left (marching squares: Lorensen and Cline 1987, in the plane). Corners: 1 lower left, 2 lower right,
# 4 upper right, 8 upper left; sides: 0 bottom, 1 right, 2 top, 3 left. Two corners that touch across stay apart.
_PASSES: tuple[tuple[int, int, int], ...] = (
    (1, 0, 3),
    (2, 1, 0),
    (3, 1, 3),
    (4, 2, 1),
    (5, 0, 3),
    (5, 2, 1),
    (6, 2, 0),
    (7, 2, 3),
    (8, 3, 2),
    (9, 0, 2),
    (10, 1, 0),
    (10, 3, 2),
    (11, 1, 2),
    (12, 3, 1),
    (13, 0, 1),
    (14, 3, 0),
)


def region_above(
    vertices: NDArray[np.float64], triangles: NDArray[np.int64], height: float, dpi: float
) -> MultiPolygon:
    """Return the region where the mesh, seen from above, reaches over the level ``height``.

    ``vertices``: (n, 3) float, mm; ``triangles``: (m, 3) int. The mesh may be open and may pass through itself. The
    outline is true to about a quarter of a pixel of ``dpi``.
    """
    reaching = triangles[vertices[triangles, 2].max(axis=1) > height]
    if not len(reaching):
        return MultiPolygon()
    dpi *= _FINER
    pixel = MM_PER_INCH / dpi
    seen = vertices[reaching]
    low, high = seen[..., :2].min(axis=(0, 1)) - 2 * pixel, seen[..., :2].max(axis=(0, 1)) + 2 * pixel
    shape, corner = picture_grid((low[0], low[1], high[0], high[1]), dpi)
    heights = heights_over(seen, shape, corner, pixel)
    # A step in height says nothing of where it lies between two samples; cut off, it comes out half-way.
    over = np.clip((heights - height) / pixel, -1.0, 1.0)
    return outlined(over, corner, pixel)


def heights_over(
    corners: NDArray[np.float64], shape: tuple[int, int], corner: tuple[float, float], pixel: float
) -> NDArray[np.float64]:
    """Return the greatest height over the middle of each pixel, lowest row first; -inf where nothing is."""
    rows, columns = shape
    heights = np.full(rows * columns, -np.inf)
    places = (corners[..., :2] - corner) / pixel - 0.5
    x, y, z = places[..., 0], places[..., 1], corners[..., 2]
    doubled = (x[:, 1] - x[:, 0]) * (y[:, 2] - y[:, 0]) - (x[:, 2] - x[:, 0]) * (y[:, 1] - y[:, 0])
    flat = np.abs(doubled) > 1e-9
    x, y, z, doubled = x[flat], y[flat], z[flat], doubled[flat]
    slope_x = ((z[:, 1] - z[:, 0]) * (y[:, 2] - y[:, 0]) - (z[:, 2] - z[:, 0]) * (y[:, 1] - y[:, 0])) / doubled
    slope_y = ((x[:, 1] - x[:, 0]) * (z[:, 2] - z[:, 0]) - (x[:, 2] - x[:, 0]) * (z[:, 1] - z[:, 0])) / doubled

    first_row = np.ceil(y.min(axis=1)).astype(np.int64)
    owner, row = spread_out(first_row, np.floor(y.max(axis=1)).astype(np.int64) - first_row + 1)
    left, right = _span(x[owner], y[owner], row)
    first_column = np.ceil(left - 1e-9).astype(np.int64)
    count = np.maximum(np.floor(right + 1e-9).astype(np.int64) - first_column + 1, 0)
    for part in _portions(count):
        span, column = spread_out(first_column[part], count[part])
        triangle, line = owner[part][span], row[part][span]
        level = z[triangle, 0] + slope_x[triangle] * (column - x[triangle, 0])
        level += slope_y[triangle] * (line - y[triangle, 0])
        # A steep triangle's slope, taken a hair outside it, must not rise over its own corners.
        level = np.clip(level, z[triangle].min(axis=1), z[triangle].max(axis=1))
        np.maximum.at(heights, line * columns + column, level)
    return heights.reshape(rows, columns)


def _span(
    x: NDArray[np.float64], y: NDArray[np.float64], row: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return where each triangle, corners (n, 3), begins and ends along its row."""
    left, right = np.full(len(row), np.inf), np.full(len(row), -np.inf)
    for one, other in ((0, 1), (1, 2), (2, 0)):
        rise = y[:, other] - y[:, one]
        level = rise == 0
        share = np.divide(row - y[:, one], rise, out=np.zeros_like(rise), where=~level)
        crossed = np.where(level, y[:, one] == row, (share >= 0) & (share <= 1))
        here = x[:, one] + share * (x[:, other] - x[:, one])
        there = np.where(level, x[:, other], here)
        left = np.where(crossed, np.minimum(left, np.minimum(here, there)), left)
        right = np.where(crossed, np.maximum(right, np.maximum(here, there)), right)
    # A row that rounding makes miss all sides has nothing to cover.
    missed = left > right
    return np.where(missed, 0.0, left), np.where(missed, -1.0, right)


def _portions(count: NDArray[np.int64]) -> list[slice]:
    """Cut a list of pixel counts into runs of about ``_CHUNK`` pixels."""
    total = np.cumsum(count)
    if not len(total):
        return []
    marks = np.searchsorted(total, np.arange(_CHUNK, total[-1] + _CHUNK, _CHUNK))
    edges = np.unique(np.concatenate([[0], np.minimum(marks + 1, len(count)), [len(count)]]))
    return [slice(int(start), int(stop)) for start, stop in itertools.pairwise(edges)]


def outlined(over: NDArray[np.float64], corner: tuple[float, float], pixel: float) -> MultiPolygon:
    """Return the region where samples, at pixel middles and lowest row first, are positive (marching squares)."""
    rows, columns = over.shape
    count = rows * columns
    flat = np.where(over.ravel() == 0, -1e-12, over.ravel())
    inked = (flat > 0).reshape(rows, columns)
    case = inked[:-1, :-1] + 2 * inked[:-1, 1:] + 4 * inked[1:, 1:] + 8 * inked[1:, :-1]
    square_rows, square_columns = np.nonzero((case > 0) & (case < 15))
    square = square_rows * columns + square_columns
    passed = case[square_rows, square_columns]
    # A side is named by its first sample; sides that run up come after all that run across.
    sides = np.stack([square, count + square + 1, square + columns, count + square])
    starts, ends = [], []
    for which, entered, left in _PASSES:
        chosen = np.flatnonzero(passed == which)
        starts.append(sides[entered, chosen])
        ends.append(sides[left, chosen])
    names, ordered = np.unique(np.concatenate(starts + ends), return_inverse=True)
    upright = names >= count
    first = names % count
    second = first + np.where(upright, columns, 1)
    share = flat[first] / (flat[first] - flat[second])
    points = np.stack(
        [first % columns + np.where(upright, 0.0, share), first // columns + np.where(upright, share, 0.0)]
    )
    places = (points.T + 0.5) * pixel + corner
    half = len(ordered) // 2
    region = region_of_edges(places, ordered[:half], ordered[half:])
    if region is None:
        raise MeshFileError("the mesh's face is too ragged to outline; close the mesh and try again")
    return region
