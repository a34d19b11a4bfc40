"""One sheet laid on another, by "over" or a blend mode (CSS Compositing 1, sections 5, 9 and 10)."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Colours = NDArray[np.float64]
"""(n, 4): red, green, blue times opacity, and opacity."""


def blended(below: Colours, above: Colours, mode: str) -> Colours:
    """Return ``above`` laid on ``below``; modes that are unknown lay it plainly over."""
    opacity_below, opacity_above = below[:, 3:], above[:, 3:]
    if mode in _OPERATORS:
        of_above, of_below = _OPERATORS[mode]
        laid: Colours = above * of_above(opacity_below) + below * of_below(opacity_above)
        return np.minimum(laid, 1.0)
    plain: Colours = above + below * (1 - opacity_above)
    mix = _MODES.get(mode)
    if mix is None:
        return plain
    backdrop = below[:, :3] / np.maximum(opacity_below, 1e-12)
    source = above[:, :3] / np.maximum(opacity_above, 1e-12)
    both = opacity_below * opacity_above
    plain[:, :3] += both * (mix(backdrop, source) - source)
    return plain


def _all(opacity: Colours) -> Colours:
    return np.ones_like(opacity)


def _none(opacity: Colours) -> Colours:
    return np.zeros_like(opacity)


def _inside(opacity: Colours) -> Colours:
    return opacity


def _outside(opacity: Colours) -> Colours:
    return 1 - opacity


_OPERATORS: dict[str, tuple[Callable[[Colours], Colours], Callable[[Colours], Colours]]] = {
    "clear": (_none, _none),
    "src": (_all, _none),
    "dest": (_none, _all),
    "dest-over": (_outside, _all),
    "src-in": (_inside, _none),
    "dest-in": (_none, _inside),
    "src-out": (_outside, _none),
    "dest-out": (_none, _outside),
    "src-atop": (_inside, _outside),
    "dest-atop": (_outside, _inside),
    "xor": (_outside, _outside),
    "plus": (_all, _all),
}
"""What stays of the sheet above, by the opacity below it, and of that below, by that above (Porter, Duff 1984)."""

_GREY = np.array([0.3, 0.59, 0.11])
"""Share of red, green and blue in a colour's luminosity (CSS Compositing 1, section 10)."""


def _with_luminosity(colour: Colours, wanted: Colours) -> Colours:
    """Return a colour brought to another luminosity, (n, 1), its saturation cut down where it would leave the range."""
    colour = colour + (wanted - _luminosity(colour))
    low, high = colour.min(axis=1, keepdims=True), colour.max(axis=1, keepdims=True)
    colour = np.where(low < 0, wanted + (colour - wanted) * wanted / np.maximum(wanted - low, 1e-12), colour)
    cut: Colours = np.where(
        high > 1, wanted + (colour - wanted) * (1 - wanted) / np.maximum(high - wanted, 1e-12), colour
    )
    return cut


def _with_saturation(colour: Colours, wanted: Colours) -> Colours:
    """Return a colour stretched to another saturation, (n, 1), its darkest part 0."""
    low = colour.min(axis=1, keepdims=True)
    stretched: Colours = (colour - low) * wanted / np.maximum(_saturation(colour), 1e-12)
    return stretched


def _luminosity(colour: Colours) -> Colours:
    grey: Colours = (colour @ _GREY)[:, None]
    return grey


def _saturation(colour: Colours) -> Colours:
    return np.asarray(np.ptp(colour, axis=1, keepdims=True))


def _soft_light(b: Colours, s: Colours) -> Colours:
    root = np.where(b <= 0.25, ((16 * b - 12) * b + 4) * b, np.sqrt(np.maximum(b, 0)))
    return np.where(s <= 0.5, b - (1 - 2 * s) * b * (1 - b), b + (2 * s - 1) * (root - b))


def _hard_light(b: Colours, s: Colours) -> Colours:
    return np.where(s <= 0.5, 2 * b * s, 1 - 2 * (1 - b) * (1 - s))


def _dodge(b: Colours, s: Colours) -> Colours:
    return np.where(b <= 0, 0.0, np.where(s >= 1, 1.0, np.minimum(1.0, b / np.maximum(1 - s, 1e-12))))


def _burn(b: Colours, s: Colours) -> Colours:
    return np.where(b >= 1, 1.0, np.where(s <= 0, 0.0, 1 - np.minimum(1.0, (1 - b) / np.maximum(s, 1e-12))))


_MODES: dict[str, Callable[[Colours, Colours], Colours]] = {
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
    "hue": lambda b, s: _with_luminosity(_with_saturation(s, _saturation(b)), _luminosity(b)),
    "saturation": lambda b, s: _with_luminosity(_with_saturation(b, _saturation(s)), _luminosity(b)),
    "color": lambda b, s: _with_luminosity(s, _luminosity(b)),
    "luminosity": lambda b, s: _with_luminosity(b, _luminosity(s)),
}
