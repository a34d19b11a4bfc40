"""Sharpening: noise and blur of a picture measured, and each made less of before its edges are traced."""

from __future__ import annotations

import numpy as np

from .thresholds import Greys, Levels

MOST_ROWS = 1_000
"""Rows that are looked at for blur."""

OWN_BLUR = 0.3
"""Square pixels; variance of what a sharp edge measures: half of it for the difference, the rest for the pixel."""


def measure_noise(grey: Greys) -> float:
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


def smooth(grey: Greys) -> Greys:
    """Return the picture smoothed by the binomial mask 1 2 1 both ways, which leaves 3/8 of the noise."""
    for axis in (0, 1):
        padded = np.pad(grey, [(1, 1) if axis == along else (0, 0) for along in (0, 1)], mode="edge")
        before, here, after = (
            padded[cut] if axis == 0 else padded[:, cut] for cut in (np.s_[:-2], np.s_[1:-1], np.s_[2:])
        )
        grey = (before + after) * np.float32(0.25)
        grey += here * np.float32(0.5)
    return grey


def measure_blur(grey: Greys, levels: Levels) -> float:
    """Return how far edges are blurred, as the standard deviation of the blur in pixels; 0 where there are no edges.

    A step of height h blurred so has the slope h / (sigma sqrt(2 pi)) in its middle. Edges are the pixels there; most
    of them belong to sides of the drawing, few to its corners, so the median tells.
    """
    step = max(1, grey.shape[0] // MOST_ROWS)
    rows = grey[1:-1:step]
    across = (rows[:, 2:] - rows[:, :-2]) / 2
    down = ((grey[2::step] - grey[:-2:step]) / 2)[: len(rows), 1:-1]
    middle = np.abs(rows[:, 1:-1] - levels.edge) < 0.1 * levels.contrast
    if not middle.any():
        return 0.0
    slope = float(np.median(np.hypot(across[middle], down[middle]))) / levels.contrast
    # The difference over two pixels, and each pixel's own width, add to the blur.
    return float(np.sqrt(max(1 / (2 * np.pi * max(slope, 1e-6) ** 2) - OWN_BLUR, 0.0)))


def sharpen(grey: Greys, amount: float) -> Greys:
    """Return the picture with what smoothing takes from it added ``amount`` times over (unsharp masking)."""
    sharp = smooth(smooth(grey))
    np.subtract(grey, sharp, out=sharp)
    sharp *= np.float32(amount)
    sharp += grey
    return sharp
