"""Surroundings: levels of ink and paper in the window round each pixel, for pictures that no one level suits."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from .surfaces import BAND, over_rows
from .thresholds import Greys, Numbers

_TILES = 21
"""Least number of tiles across a window: its sums are taken over tiles of pixels where it is larger than that."""


def local_threshold(grey: Greys, window: int, darker_by: float) -> Greys:
    """Return a threshold for each pixel: T = m (1 + k (s / R - 1)) (Sauvola and Pietikäinen 2000, eq. 5).

    ``m`` and ``s``: mean and standard deviation in the square of ``window`` (odd) pixels round the pixel, the picture
    mirrored at its edges; ``k``: ``darker_by``; ``R``: 0.5, the largest deviation that there is. Sums come from
    integral images, so the window's size costs nothing; in large windows they are taken over tiles of pixels, and the
    threshold in between is interpolated.
    """
    tile = _tile_of(window)
    tiles = _in_tiles(tile, grey.shape, 2, lambda rows: (grey[rows], grey[rows] ** 2))

    def find(mean: Numbers, square: Numbers) -> Numbers:
        deviation = np.sqrt(np.maximum(square - mean * mean, 0.0))
        return mean * (1.0 + darker_by * (deviation / 0.5 - 1.0))

    return _drawn_out(_by_bands(tiles, _in_tiles_of(window, tile), find), tile, grey.shape)


def edge_levels(grey: Greys, threshold: Greys, window: int, least_contrast: float) -> Greys:
    """Return for each pixel the level halfway between the means of ink and of paper in the window round it.

    That is where a blurred edge lies; a local threshold tells ink from paper well, but lies nearer to the paper and so
    makes lines fat. Pixels count by the square of their distance from the threshold, so that those of the blurred edge
    itself hardly do. ``threshold``: from :func:`local_threshold`; it stays where the means differ by less than
    ``least_contrast``, so that nothing new comes up in bare paper.
    """
    tile = _tile_of(window)

    def weighed(rows: slice) -> tuple[Greys, ...]:
        here, limit = grey[rows], threshold[rows]
        off = here - limit
        ink, paper = np.minimum(off, 0.0) ** 2, np.maximum(off, 0.0) ** 2
        return ink, ink * here, paper, paper * here, limit

    *tiles, own = _in_tiles(tile, grey.shape, 5, weighed)

    def find(ink: Numbers, ink_level: Numbers, paper: Numbers, paper_level: Numbers) -> Numbers:
        dark, light = ink_level / np.maximum(ink, 1e-12), paper_level / np.maximum(paper, 1e-12)
        return np.where(light - dark > least_contrast, (dark + light) / 2, np.nan)

    levels = _by_bands(tiles, _in_tiles_of(window, tile), find)
    return _drawn_out(np.where(np.isnan(levels), own, levels), tile, grey.shape)


def _tile_of(window: int) -> int:
    return max(1, window // _TILES)


def _in_tiles_of(window: int, tile: int) -> int:
    """Return a window's side in whole tiles, an odd number of them."""
    return 2 * round((window / tile - 1) / 2) + 1


def _in_tiles(
    tile: int, shape: tuple[int, ...], count: int, pixels: Callable[[slice], tuple[Greys, ...]]
) -> list[Greys]:
    """Return means over tiles of ``count`` pictures, which ``pixels`` gives for a band of rows.

    Tiles that run over the picture's edge are filled up with its last row or column.
    """
    rows, columns = (-(-side // tile) for side in shape)
    means = [np.empty((rows, columns), dtype=np.float32) for _ in range(count)]
    band = max(1, BAND // tile)
    for first in range(0, rows, band):
        last = min(first + band, rows)
        for mean, picture in zip(means, pixels(slice(first * tile, last * tile)), strict=True):
            short = (last - first) * tile - len(picture), columns * tile - picture.shape[1]
            whole = np.pad(picture, [(0, short[0]), (0, short[1])], mode="edge") if any(short) else picture
            summed = whole.reshape(last - first, tile, -1).sum(axis=1)
            mean[first:last] = summed.reshape(last - first, columns, tile).sum(axis=2) / tile**2
    return means


def _drawn_out(surface: Greys, tile: int, shape: tuple[int, ...]) -> Greys:
    if tile == 1:
        return surface
    drawn = np.empty(shape, dtype=np.float32)
    for rows, part in over_rows(surface, tile, shape, BAND):
        drawn[rows] = part
    return drawn


def _by_bands(pictures: Sequence[Greys], window: int, find: Callable[..., Numbers]) -> Greys:
    """Return what ``find`` makes of pictures' means over windows, band by band on all cores, in memory for a few bands.

    Each band has the margin that windows need, mirrored at the edges: half a window, and one pixel more before it,
    which integral images begin with.
    """
    half = window // 2
    height, width = pictures[0].shape
    columns = _mirrored(np.arange(-half - 1, width + half), width)
    found = np.empty_like(pictures[0])

    def fill(top: int) -> None:
        bottom = min(top + BAND, height)
        rows = _mirrored(np.arange(top - half - 1, bottom + half), height)
        found[top:bottom] = find(*(_window_means(picture[np.ix_(rows, columns)], window) for picture in pictures))

    with ThreadPoolExecutor(max_workers=min(os.cpu_count() or 1, 4)) as pool:
        list(pool.map(fill, range(0, height, BAND)))
    return found


def _mirrored(index: NDArray[np.intp], size: int) -> NDArray[np.intp]:
    """Fold indices beyond the edges back, the edge pixel not repeated."""
    if size == 1:
        return np.zeros_like(index)
    folded = np.abs(index) % (2 * size - 2)
    return np.where(folded < size, folded, 2 * size - 2 - folded)


def _window_means(band: Greys, window: int) -> Numbers:
    summed = band.cumsum(axis=0, dtype=np.float64)
    summed = (summed[window:] - summed[:-window]).cumsum(axis=1)
    means: Numbers = (summed[:, window:] - summed[:, :-window]) / window**2
    return means
