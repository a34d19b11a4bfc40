"""Scans without what was drawn or printed in another colour than the stamp's ink: paper's own lines, a pen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ...plane.rasters.pictures import read_picture
from .scans import MOST_SCANNED, Scan, paper_levelled

Floats = NDArray[np.float64]

_LOOKED_AT = 400_000  # pixels at which colours are looked for
_TINTED = 0.08  # of the paper's brightness, from which on a pixel has a colour of its own
_NEUTRAL = 0.04  # less is grey
_LEAST = 0.0015  # share of the pixels of a colour
_SECTORS = 24  # of the circle of hues
_MOST_NOISE = 4.0  # times the noise of one channel; more, and the colours are too much alike to be told apart
_MOST_COLOURS = 3


def without_colours(scan: Scan, path: str | Path) -> Iterator[Scan]:
    """Yield a scan without each of its colours by turns, where it has two or more, greys and black counted as one.

    The channels are mixed so that paper stays as bright and the colour becomes as bright as paper: edges of other inks
    keep their places. Raises :class:`~stampwright.errors.ArtworkError` when the file cannot be read any more.
    """
    picture = read_picture(path, most_pixels=MOST_SCANNED)
    if picture.colours is None:
        return
    rgb = picture.colours
    for shares in _mixtures(rgb):
        grey = np.zeros(rgb.shape[:2], dtype=np.float32)
        for channel, share in enumerate(shares):
            grey += np.float32(share) * rgb[..., channel]
        seen = np.clip(grey + np.float32(0.5), 0, 255).astype(np.uint8)
        yield replace(scan, grey=seen, level=paper_levelled(seen, scan.name))


def _mixtures(rgb: NDArray[np.uint8]) -> list[Floats]:
    """Return how the channels are to be mixed to leave out each colour, (3,), the commonest first."""
    step = max(1, round(float(np.sqrt(rgb.shape[0] * rgb.shape[1] / _LOOKED_AT))))
    seen = rgb[::step, ::step].reshape(-1, 3).astype(np.float64)
    paper = np.maximum(np.percentile(seen, 80, axis=0), 1.0)
    level = seen / paper
    tint = level - level.mean(axis=1, keepdims=True)
    strong = np.hypot(np.hypot(tint[:, 0], tint[:, 1]), tint[:, 2])
    tinted = strong > _TINTED
    dark = (strong < _NEUTRAL) & (level.mean(axis=1) < 0.6)
    # The plane of hues: grey at its middle.
    hue = np.arctan2(np.sqrt(3.0) * (tint[:, 1] - tint[:, 2]), 2.0 * tint[:, 0] - tint[:, 1] - tint[:, 2])
    counts = np.bincount(((hue[tinted] + np.pi) / (2 * np.pi) * _SECTORS).astype(int) % _SECTORS, minlength=_SECTORS)
    # A colour that lies in one sector alone has its peak there, not in those beside it.
    broad = 2 * counts + np.roll(counts, 1) + np.roll(counts, -1)
    peaks = [
        at
        for at in np.argsort(-broad)
        if broad[at] >= 2 * _LEAST * len(seen)
        and broad[at] == max(broad[(at + off) % _SECTORS] for off in range(-2, 3))
    ][:_MOST_COLOURS]
    if len(peaks) + (float(dark.mean()) > _LEAST) < 2:
        return []
    mixtures = []
    for peak in peaks:
        middle = (peak + 0.5) / _SECTORS * 2 * np.pi - np.pi
        near = tinted & (np.abs(np.angle(np.exp(1j * (hue - middle)))) < 2 * np.pi / _SECTORS)
        # The fullest of it: what is mixed with paper at its edges is fainter.
        full = near & (strong >= np.percentile(strong[near], 60))
        taken = 1.0 - np.median(level[full], axis=0)
        conditions = np.stack((np.ones(3), taken))
        mixture = np.linalg.lstsq(conditions, np.array([1.0, 0.0]), rcond=None)[0]
        if np.abs(conditions @ mixture - (1.0, 0.0)).max() < 1e-6 and float(np.hypot.reduce(mixture)) < _MOST_NOISE:
            # Of the paper's own brightness in each channel, to that of its mean.
            mixtures.append(mixture * float(paper.mean()) / paper)
    return mixtures
