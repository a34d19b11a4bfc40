"""Thresholds: what in a picture is ink, after its light has been evened out."""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Grey = NDArray[np.float32]
Numbers = NDArray[np.float64]

_TILE = 32
"""Side of the tiles whose brightest part stands for the paper, pixels."""

_BAND = 256
"""Rows that a local threshold takes at a time; keeps its sums within the processor's cache."""


@dataclass(frozen=True)
class Levels:
    """Brightness of ink and paper in a picture, and the level halfway, where the edge lies; 0 black to 1 white."""

    ink: float
    paper: float

    @property
    def edge(self) -> float:
        """Level of the edge."""
        return (self.ink + self.paper) / 2

    @property
    def contrast(self) -> float:
        """How much darker ink is than paper."""
        return self.paper - self.ink


def flatten_light(grey: Grey) -> tuple[Grey, float]:
    """Return a picture as if evenly lit, and by what share the light fell off before.

    The paper's brightness is taken as a surface of the third degree that lies on the tiles' brightest parts; tiles that
    hold only ink fall under the surface and are left out of it step by step. Pictures smaller than 4 tiles across and
    light that falls off by less than 3 % stay as they are.
    """
    rows, columns = (side // _TILE for side in grey.shape)
    if min(rows, columns) < 4:
        return grey, 0.0
    # Means of 4 by 4 first, so that noise does not pass for brightness.
    fine = grey[: rows * _TILE, : columns * _TILE].reshape(rows * 8, 4, columns * 8, 4).mean(axis=(1, 3))
    brightest = fine.reshape(rows, 8, columns, 8).max(axis=(1, 3)).astype(np.float64)
    y, x = np.meshgrid(np.linspace(-1, 1, rows), np.linspace(-1, 1, columns), indexing="ij")
    terms = _surface_terms(x.ravel(), y.ravel())
    seen = brightest.ravel()
    surface = _upper_surface(terms, seen)
    low, high = float(surface.min()), float(surface.max())
    if high <= 0.05 or (high - low) / high < 0.03:
        return grey, 0.0
    # Where nothing but ink was seen the surface is a guess; it stays within what the paper shows elsewhere.
    surface = np.clip(surface, max(low, 0.2 * high), high).reshape(rows, columns)
    return _divided(grey, surface.astype(np.float32)), (high - low) / high


def find_levels(grey: Grey) -> Levels:
    """Return the levels of ink and paper by the threshold that separates them best (Otsu 1979).

    The levels are the medians of both classes: the edge of a blurred or anti-aliased line lies halfway between them,
    while any threshold in the empty range between two well-separated classes would separate them equally well.
    """
    step = max(1, round((grey.size / 4e6) ** 0.5))
    codes = (grey[::step, ::step] * np.float32(255.0) + np.float32(0.5)).astype(np.uint8).ravel()
    histogram = np.bincount(codes, minlength=256).astype(np.float64)
    split = otsu_threshold(histogram)
    below, above = histogram.copy(), histogram.copy()
    below[split + 1 :] = 0
    above[: split + 1] = 0
    return Levels(_median(below) / 255.0, _median(above) / 255.0)


def otsu_threshold(histogram: Numbers) -> int:
    """Return the last bin of the dark class that makes the variance between classes largest (Otsu 1979, eq. 18).

    >>> otsu_threshold(np.array([4.0, 1.0, 0.0, 0.0, 2.0, 5.0]))
    1
    """
    bins = np.arange(len(histogram))
    share = np.cumsum(histogram) / histogram.sum()
    mean = np.cumsum(histogram * bins) / histogram.sum()
    with np.errstate(divide="ignore", invalid="ignore"):
        between = (mean[-1] * share - mean) ** 2 / (share * (1 - share))
    return int(np.argmax(np.nan_to_num(between[:-1], nan=0.0, posinf=0.0)))


def local_threshold(grey: Grey, window: int, sensitivity: float) -> Grey:
    """Return a threshold for each pixel: T = m (1 + k (s / R - 1)) (Sauvola and Pietikäinen 2000, eq. 5).

    ``m`` and ``s``: mean and standard deviation in the square of ``window`` (odd) pixels round the pixel, the picture
    mirrored at its edges; ``k``: ``sensitivity``; ``R``: 0.5, the largest deviation that there is. Sums come from
    integral images, so the window's size costs nothing.
    """

    def find(band: Numbers) -> Numbers:
        mean = _window_sums(band, window) / window**2
        square = _window_sums(band * band, window) / window**2
        deviation = np.sqrt(np.maximum(square - mean * mean, 0.0))
        return mean * (1.0 + sensitivity * (deviation / 0.5 - 1.0))

    return _by_bands((grey,), window, find)


def edge_levels(grey: Grey, threshold: Grey, window: int, least_contrast: float) -> Grey:
    """Return for each pixel the level halfway between the means of ink and of paper in the window round it.

    That is where a blurred edge lies; a local threshold tells ink from paper well, but lies nearer to the paper and so
    makes lines fat. Pixels count by the square of their distance from the threshold, so that those of the blurred edge
    itself hardly do. ``threshold``: from :func:`local_threshold`; it stays where the means differ by less than
    ``least_contrast``, so that nothing new comes up in bare paper.
    """

    def find(band: Numbers, limit: Numbers) -> Numbers:
        off = band - limit
        means = []
        for beyond in (np.minimum(off, 0.0) ** 2, np.maximum(off, 0.0) ** 2):
            weight = _window_sums(beyond, window)
            means.append(_window_sums(beyond * band, window) / np.maximum(weight, 1e-12))
        ink, paper = means
        middle = window // 2 + 1
        unchanged = limit[middle : 1 - middle or None, middle : 1 - middle or None]
        return np.where(paper - ink > least_contrast, (ink + paper) / 2, unchanged)

    return _by_bands((grey, threshold), window, find)


def measure_noise(grey: Grey) -> float:
    """Return the standard deviation of the noise in a megapixel at the middle, by the mask of Immerkaer 1996."""
    rows, columns = grey.shape
    if min(rows, columns) < 5:
        return 0.0
    top, left = max(0, rows // 2 - 500), max(0, columns // 2 - 500)
    part = grey[top : top + 1000, left : left + 1000].astype(np.float64)
    across = part[:, :-2] - 2 * part[:, 1:-1] + part[:, 2:]
    both = np.abs(across[:-2] - 2 * across[1:-1] + across[2:])
    # The median over all but the busiest pixels: edges of the drawing are no noise. 0.6745 is the median of |N(0, 1)|,
    # 6 the norm of the mask.
    return float(np.median(both)) / (0.6745 * 6.0)


def smooth(grey: Grey) -> Grey:
    """Return the picture smoothed by the binomial mask 1 2 1 both ways, which leaves 3/8 of the noise."""
    for axis in (0, 1):
        padded = np.pad(grey, [(1, 1) if axis == along else (0, 0) for along in (0, 1)], mode="edge")
        before, here, after = (
            padded[cut] if axis == 0 else padded[:, cut] for cut in (np.s_[:-2], np.s_[1:-1], np.s_[2:])
        )
        grey = (before + after) * np.float32(0.25)
        grey += here * np.float32(0.5)
    return grey


def _surface_terms(x: Numbers, y: Numbers) -> Numbers:
    return np.stack([x**i * y**j for i in range(4) for j in range(4 - i)], axis=1)


def _upper_surface(terms: Numbers, seen: Numbers) -> Numbers:
    kept = seen > 0.3 * seen.max()
    surface = seen
    for _ in range(12):
        if kept.sum() < 3 * terms.shape[1]:
            break
        surface = terms @ np.linalg.lstsq(terms[kept], seen[kept], rcond=None)[0]
        above = seen > surface * 0.97 - 0.005
        if np.array_equal(above, kept):
            break
        kept = above
    return surface


def _divided(grey: Grey, surface: Grey) -> Grey:
    """Divide a picture by a surface given at the middles of its tiles, 1 at the paper."""
    places = [(np.arange(side, dtype=np.float32) + 0.5) / _TILE - 0.5 for side in grey.shape]
    across = np.stack([np.interp(places[1], np.arange(surface.shape[1]), row) for row in surface]).astype(np.float32)
    below = np.clip(places[0].astype(np.intp), 0, surface.shape[0] - 2)
    share = np.clip(places[0] - below, 0.0, 1.0).astype(np.float32)
    flat = np.empty_like(grey)
    for top in range(0, grey.shape[0], _BAND):
        rows = slice(top, top + _BAND)
        lit = across[below[rows]] * (1 - share[rows, None]) + across[below[rows] + 1] * share[rows, None]
        np.clip(grey[rows] / lit, 0.0, 1.0, out=flat[rows])
    return flat


def _by_bands(pictures: tuple[Grey, ...], window: int, find: Callable[..., Numbers]) -> Grey:
    """Return what ``find`` makes of pictures, band by band on all cores, with memory for a few bands only.

    ``find`` is given each picture's band with the margin that windows need, mirrored at the edges: half a window, and
    one pixel more before it, which integral images begin with.
    """
    half = window // 2
    height, width = pictures[0].shape
    columns = _mirrored(np.arange(-half - 1, width + half), width)
    found = np.empty_like(pictures[0])

    def fill(top: int) -> None:
        bottom = min(top + _BAND, height)
        rows = _mirrored(np.arange(top - half - 1, bottom + half), height)
        found[top:bottom] = find(*(picture[np.ix_(rows, columns)].astype(np.float64) for picture in pictures))

    with ThreadPoolExecutor(max_workers=min(os.cpu_count() or 1, 4)) as pool:
        list(pool.map(fill, range(0, height, _BAND)))
    return found


def _mirrored(index: NDArray[np.intp], size: int) -> NDArray[np.intp]:
    """Fold indices beyond the edges back, the edge pixel not repeated."""
    if size == 1:
        return np.zeros_like(index)
    folded = np.abs(index) % (2 * size - 2)
    return np.where(folded < size, folded, 2 * size - 2 - folded)


def _window_sums(band: Numbers, window: int) -> Numbers:
    summed = band.cumsum(axis=0)
    summed = (summed[window:] - summed[:-window]).cumsum(axis=1)
    sums: Numbers = summed[:, window:] - summed[:, :-window]
    return sums


def _median(histogram: Numbers) -> float:
    total = np.cumsum(histogram)
    return float(np.searchsorted(total, total[-1] / 2))
