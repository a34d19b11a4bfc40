"""Thresholds: what in a picture is ink, after its light has been evened out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .surfaces import BAND, over_rows

Greys = NDArray[np.float32]
Numbers = NDArray[np.float64]

_TILE = 32
"""Side of the tiles whose brightest part stands for the paper, pixels."""


_EVEN, _EVEN_SHARE = 2.5 / 255, 0.94
"""How far from its level a pixel may be that is even, and the share of pixels that are; edges are soft."""

_EDGE_TILE, _SPECK = 3, 0.02
"""Side of tiles, pixels, of which three across are wider than a blurred edge; and the share of one that is no noise."""


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


def flatten_light(grey: Greys) -> tuple[Greys, float]:
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


def is_even(grey: Greys) -> bool:
    """Say whether ink and paper are each of one even brightness, as in a drawing that no light ever fell on."""
    levels = find_levels(grey)
    near = np.minimum(np.abs(grey - np.float32(levels.ink)), np.abs(grey - np.float32(levels.paper))) <= _EVEN
    return bool(np.count_nonzero(near) > _EVEN_SHARE * grey.size)


def find_levels(grey: Greys) -> Levels:
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


def share_of_tones(grey: Greys, levels: Levels) -> float:
    """Return the share of a picture that is neither ink nor paper, nor the blurred edge between both.

    A pixel halfway between the levels is of an edge where clear ink and clear paper lie side by side round it; however
    dense and blurred line art is, that is so of nearly all of them. In a photograph tones go over into each other.

    >>> steps = np.repeat(np.linspace(0, 1, 9, dtype=np.float32), 40)[None].repeat(300, axis=0)
    >>> round(share_of_tones(steps, Levels(0.0, 1.0)), 2)
    0.33
    """
    rows, columns = (side // _EDGE_TILE for side in grey.shape)
    if not rows or not columns:
        return 0.0
    within = (grey[: rows * _EDGE_TILE, : columns * _EDGE_TILE] - levels.ink) / levels.contrast
    tiles = within.reshape(rows, _EDGE_TILE, columns, _EDGE_TILE)
    inked, bare = ((tiles <= 0.25), (tiles >= 0.75))
    near_both = np.ones((rows, columns), dtype=bool)
    for clear in (inked, bare):
        some = np.pad(clear.mean(axis=(1, 3)) > _SPECK, 1)
        near_both &= np.lib.stride_tricks.sliding_window_view(some, (3, 3)).any(axis=(2, 3))
    between = (~(inked | bare)).mean(axis=(1, 3))
    return float((between * ~near_both).mean())


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


def _median(histogram: Numbers) -> float:
    total = np.cumsum(histogram)
    return float(np.searchsorted(total, total[-1] / 2))


def _divided(grey: Greys, surface: Greys) -> Greys:
    """Divide a picture by a surface given at the middles of its tiles, 1 at the paper."""
    flat = np.empty_like(grey)
    for rows, lit in over_rows(surface, _TILE, grey.shape, BAND):
        np.clip(grey[rows] / lit, 0.0, 1.0, out=flat[rows])
    return flat
