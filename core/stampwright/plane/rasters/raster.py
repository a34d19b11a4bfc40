"""Scan conversion: filled outlines to a picture in which every pixel's tone is the exact area that ink covers."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...errors import MeshFileError

MM_PER_INCH = 25.4

MOST_SCAN_PIXELS = 120_000_000
"""A picture of 460 mm by 460 mm at 600 dpi; more than any stamp needs, and it still fits an ordinary memory."""

_BARE = 255  # tone of paper
_SPARSE = 8  # pixels to each change of tone, above which those between changes are filled at once
_BAND = 250_000  # pixels worked on at a time: they stay in the cache, and memory does not grow with the picture


def picture_grid(bounds: tuple[float, float, float, float], dpi: float) -> tuple[tuple[int, int], tuple[float, float]]:
    """Return the (rows, columns) of a picture that holds ``bounds`` and its lower-left corner, mm.

    The corner lies on a whole pixel counted from the origin, so that two pictures at one resolution line up. Raises
    :class:`MeshFileError` when the picture would hold more than ``MOST_SCAN_PIXELS``.

    >>> picture_grid((-1.0, -1.0, 1.0, 1.0), 254.0)
    ((20, 20), (-1.0, -1.0))
    """
    pixels = dpi / MM_PER_INCH
    left, bottom, right, top = bounds
    # The hair keeps 10.000000001 pixels, which is rounding, from costing an eleventh.
    first_column, first_row = math.floor(left * pixels + 1e-6), math.floor(bottom * pixels + 1e-6)
    columns = max(1, math.ceil(right * pixels - 1e-6) - first_column)
    rows = max(1, math.ceil(top * pixels - 1e-6) - first_row)
    if rows * columns > MOST_SCAN_PIXELS:
        raise MeshFileError(
            f"a picture of {right - left:.0f} by {top - bottom:.0f} mm at {dpi:g} dpi has more than "
            f"{MOST_SCAN_PIXELS // 1_000_000} million pixels; ask for fewer dpi"
        )
    return (rows, columns), (first_column / pixels, first_row / pixels)


def pixel_places(shape: tuple[int, int], corner: tuple[float, float], dpi: float) -> NDArray[np.float64]:
    """Return where the middles of a grid's pixels lie, (rows, columns, 2) mm, the lowest row first.

    ``shape`` and ``corner`` are as from :func:`picture_grid`.

    >>> pixel_places((1, 2), (-1.0, 0.0), 25.4).tolist()
    [[[-0.5, 0.5], [0.5, 0.5]]]
    """
    pitch = MM_PER_INCH / dpi
    x, y = (corner[axis] + (np.arange(shape[1 - axis]) + 0.5) * pitch for axis in (0, 1))
    return np.stack(np.meshgrid(x, y), axis=-1)


def picture_of(
    outlines: MultiPolygon, shape: tuple[int, int], corner: tuple[float, float], dpi: float
) -> NDArray[np.uint8]:
    """Return the picture of solid ink in ``outlines``: 0 full ink to 255 bare paper, top row first.

    ``outlines`` must be valid, mm; ``shape`` and ``corner`` are as from :func:`picture_grid` and must hold them. The
    tone of a pixel is its covered area, found by accumulating each edge's signed area in the cells it passes and
    summing along the rows (the scan conversion of font rasterisers).
    """
    rows, columns = shape
    row, column, ahead, behind = _signed_areas(_edges_in_pixels(outlines, shape, corner, dpi))
    # A cell takes the part of an edge's height that lies right of the edge; the cells right of it take all of it.
    stride = columns + 2
    column = np.clip(column, 0, columns)
    row, column = np.concatenate((row, row)), np.concatenate((column, column + 1))
    darkening = np.concatenate((behind, ahead)) * -float(_BARE)
    if _SPARSE * len(row) < rows * stride:
        filled = _filled_between(row * stride + column, darkening, rows * stride).reshape(rows, stride)
        return np.ascontiguousarray(filled[:, :columns])
    picture = np.full(shape, _BARE, dtype=np.uint8)
    band_rows = max(1, _BAND // stride)
    for top in range(0, rows, band_rows):
        height = min(band_rows, rows - top)
        inside = slice(None) if height == rows else np.flatnonzero((row >= top) & (row < top + height))
        cell = (row[inside] - top) * stride + column[inside]
        if not len(cell):
            continue
        tone = np.bincount(cell, weights=darkening[inside], minlength=height * stride)
        picture[top : top + height] = _tones(tone.astype(np.float64, copy=False)).reshape(height, stride)[:, :columns]
    return picture


def _filled_between(cell: NDArray[np.int64], darkening: NDArray[np.float64], count: int) -> NDArray[np.uint8]:
    """Return the tones of ``count`` cells in one row after the other, most of them like the one before them."""
    order = np.argsort(cell, kind="stable")
    cell = cell[order]
    first = np.flatnonzero(np.diff(cell, prepend=-1))
    if not len(first):
        return np.full(count, _BARE, dtype=np.uint8)
    changes: NDArray[np.float64] = np.add.reduceat(darkening[order], first)
    tones, at = _tones(changes), cell[first]
    return np.concatenate((np.full(at[0], _BARE, dtype=np.uint8), np.repeat(tones, np.diff(at, append=count))))


def _tones(changes: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Return the tones of cells, one row after the other, by how each differs from the one before; uses that up."""
    # All that edges take from a row they give back: one sum over all rows is theirs, one after the other.
    np.cumsum(changes, out=changes)
    np.add(changes, _BARE + 0.5, out=changes)
    np.clip(changes, 0.0, _BARE, out=changes)
    return changes.astype(np.uint8)


def _edges_in_pixels(
    outlines: MultiPolygon, shape: tuple[int, int], corner: tuple[float, float], dpi: float
) -> NDArray[np.float64]:
    """Return all edges as (n, 4): x0, y0, x1, y1 in pixels from the picture's upper left, ink on their left."""
    rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(outlines)))
    points, ring = shapely.get_coordinates(rings, return_index=True)
    pixels = dpi / MM_PER_INCH
    points = (points - corner) * pixels
    points[:, 1] = shape[0] - points[:, 1]
    np.clip(points, 0.0, (shape[1], shape[0]), out=points)
    edges: NDArray[np.float64] = np.hstack([points[:-1], points[1:]])
    crossing: NDArray[np.float64] = edges[(ring[:-1] == ring[1:]) & (edges[:, 1] != edges[:, 3])]
    return crossing


def _signed_areas(
    edges: NDArray[np.float64],
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
    """Cut edges at every row and column of the grid; return row, column and the two areas that each piece gives."""
    x0, y0, x1, y1 = edges.T
    low, high = np.minimum(y0, y1), np.maximum(y0, y1)
    first = np.floor(low).astype(np.int64)
    edge, row = spread_out(first, np.maximum(np.ceil(high).astype(np.int64) - first, 1))
    # Along an edge in the sense of falling ink: down the picture is positive for ink that lies to the right.
    start, stop = np.maximum(low[edge], row), np.minimum(high[edge], row + 1)
    slope = ((x1 - x0) / (y1 - y0))[edge]
    from_x = x0[edge] + (start - y0[edge]) * slope
    to_x = x0[edge] + (stop - y0[edge]) * slope
    rise = np.where(y1 > y0, 1.0, -1.0)[edge] * (stop - start)

    left, right = np.minimum(from_x, to_x), np.maximum(from_x, to_x)
    first = np.floor(left).astype(np.int64)
    piece, column = spread_out(first, np.floor(right).astype(np.int64) - first + 1)
    start, stop = np.maximum(left[piece], column), np.minimum(right[piece], column + 1)
    width = (right - left)[piece]
    share = np.divide(stop - start, width, out=np.ones_like(width), where=width > 0)
    share = rise[piece] * share
    ahead = share * ((start + stop) / 2.0 - column)
    return row[piece], column, ahead, share - ahead


def spread_out(first: NDArray[np.int64], count: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return, for every i, ``count[i]`` entries: i itself, and first[i], first[i] + 1, and so on."""
    owner = np.repeat(np.arange(len(first)), count)
    before = np.cumsum(count) - count
    return owner, np.arange(len(owner)) - before[owner] + first[owner]
