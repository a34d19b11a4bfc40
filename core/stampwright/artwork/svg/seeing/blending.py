"""One sheet laid on another, by "over" or a separable blend mode (CSS Compositing 1, sections 5 and 9.1)."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Sheet = NDArray[np.float64]
"""(n, 4): red, green, blue times opacity, and opacity."""


def blended(below: Sheet, above: Sheet, mode: str) -> Sheet:
    """Return ``above`` laid on ``below``; modes that are unknown lay it plainly over."""
    opacity_below, opacity_above = below[:, 3:], above[:, 3:]
    plain: Sheet = above + below * (1 - opacity_above)
    mix = _MODES.get(mode)
    if mix is None:
        return plain
    backdrop = below[:, :3] / np.maximum(opacity_below, 1e-12)
    source = above[:, :3] / np.maximum(opacity_above, 1e-12)
    both = opacity_below * opacity_above
    plain[:, :3] += both * (mix(backdrop, source) - source)
    return plain


def _soft_light(b: Sheet, s: Sheet) -> Sheet:
    root = np.where(b <= 0.25, ((16 * b - 12) * b + 4) * b, np.sqrt(np.maximum(b, 0)))
    return np.where(s <= 0.5, b - (1 - 2 * s) * b * (1 - b), b + (2 * s - 1) * (root - b))


def _hard_light(b: Sheet, s: Sheet) -> Sheet:
    return np.where(s <= 0.5, 2 * b * s, 1 - 2 * (1 - b) * (1 - s))


def _dodge(b: Sheet, s: Sheet) -> Sheet:
    return np.where(b <= 0, 0.0, np.where(s >= 1, 1.0, np.minimum(1.0, b / np.maximum(1 - s, 1e-12))))


def _burn(b: Sheet, s: Sheet) -> Sheet:
    return np.where(b >= 1, 1.0, np.where(s <= 0, 0.0, 1 - np.minimum(1.0, (1 - b) / np.maximum(s, 1e-12))))


_MODES: dict[str, Callable[[Sheet, Sheet], Sheet]] = {
    "multiply": lambda b, s: b * s,
    "screen": lambda b, s: b + s - b * s,
    "overlay": lambda b, s: _hard_light(s, b),
    "darken": np.minimum,
    "lighten": np.maximum,
    "color-dodge": _dodge,
    "color-burn": _burn,
    "hard-light": _hard_light,
    "soft-light": _soft_light,
    "difference": lambda b, s: np.abs(b - s),
    "exclusion": lambda b, s: b + s - 2 * b * s,
}
