"""Colours as CSS writes them, read as sRGB (CSS Color 4)."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Any

import numpy as np
import tinycss2
from tinycss2 import color4

from ....looks.light import from_linear, to_linear

_SYSTEM = {
    **dict.fromkeys(
        ("windowtext", "canvastext", "buttontext", "fieldtext", "captiontext", "infotext", "menutext"), 0.0
    ),
    **dict.fromkeys(("window", "canvas", "field", "buttonface", "menu", "infobackground"), 1.0),
}
"""The system's colours (CSS Color 4, section 6.2 and appendix A) on white paper: text black, what it is on white."""

_PROFILED = re.compile(r"\s+icc-color\([^()]*\)\s*\Z", re.IGNORECASE)
"""What drawings for the press say of a colour besides, in terms of a profile; sRGB stands before it (SVG 1.1, 11.2)."""

_LINEAR_FROM_XYZ = np.array(
    [
        [3.2409699419045226, -1.537383177570094, -0.4986107602930034],
        [-0.9692436362808796, 1.8759675015077202, 0.04155505740717559],
        [0.05563007969699366, -0.20397695888897652, 1.0569715142428786],
    ]
)
"""To linear sRGB from XYZ under D65 (CSS Color 4, section 18)."""

_D65_FROM_D50 = np.array(
    [
        [0.9554734527042182, -0.023098536874261423, 0.0632593086610217],
        [-0.028369706963208136, 1.0099954580058226, 0.021041398966943008],
        [0.012314001688319899, -0.020507696433477912, 1.3303659366080753],
    ]
)
"""XYZ adapted from D50 to D65 (Bradford; CSS Color 4, section 18)."""

_XYZ_FROM_P3 = np.array(
    [
        [0.4865709486482162, 0.26566769316909306, 0.1982172852343625],
        [0.2289745640697488, 0.6917385218365064, 0.079286914093745],
        [0.0, 0.04511338185890264, 1.043944368900976],
    ]
)
"""To XYZ under D65 from linear Display P3 (CSS Color 4, section 18)."""


@lru_cache(maxsize=4096)
def colour(text: str) -> tuple[float, float, float, float] | str | None:
    """Return red, green, blue and opacity from 0 to 1; "currentcolor"; or None when the text is no colour.

    >>> colour("hsl(0 300% 50%)"), colour("#12345")
    ((1.0, 0.0, 0.0, 1.0), None)
    >>> colour("#f00 icc-color(press, 0, 1, 1, 0)")
    (1.0, 0.0, 0.0, 1.0)
    """
    text = _in_the_light(_PROFILED.sub("", text))
    tone = _SYSTEM.get(text.strip().lower())
    if tone is not None:
        return tone, tone, tone, 1.0
    try:
        parsed = color4.parse_color(text)
    except (ValueError, TypeError):
        return None
    if parsed is None or isinstance(parsed, str):
        return parsed.lower() if parsed else None
    if parsed.space == "hsl" and "," in text and text.count("%") < 2:
        return None  # the older way of writing it takes no plain numbers
    channels = _srgb(parsed)
    if channels is None:
        return None
    red, green, blue = (min(1.0, max(0.0, float(channel))) for channel in channels)
    return red, green, blue, min(1.0, max(0.0, float(parsed.alpha)))


def _in_the_light(text: str) -> str:
    """Return the first colour of light-dark(), as paper is light, and any other text as it is (CSS Color 5, 5)."""
    if not text.strip().lower().startswith("light-dark("):
        return text
    pair = tinycss2.parse_one_component_value(text)
    if pair.type != "function":
        return text
    commas = [at for at, token in enumerate(pair.arguments) if token.type == "literal" and token.value == ","]
    return str(tinycss2.serialize(pair.arguments[: commas[0]])) if len(commas) == 1 else text


def _srgb(parsed: Any) -> Any:
    """Return red, green and blue, where out of range as they come; None for a space that is not known."""
    first, *others = (float(part or 0.0) for part in parsed.coordinates)
    if parsed.space == "hsl":
        # Saturation and lightness out of range count as at its ends, as renderers have it.
        within = [min(100.0, max(0.0, other)) for other in others]
        return color4.Color("hsl", (first, *within), 1).to("srgb").coordinates
    if parsed.space in {"srgb", "hwb"}:
        return parsed.to("srgb").coordinates
    linear = _LINEAR.get(parsed.space)
    return None if linear is None else _encoded(linear(parsed))


def _plain(parsed: Any) -> Any:
    return np.array([float(part or 0.0) for part in parsed.coordinates])


def _encoded(linear: Any) -> Any:
    """Return linear channels with sRGB's curve, which goes on below 0 as it does above (IEC 61966-2-1)."""
    return np.sign(linear) * from_linear(np.abs(linear))


def _decoded(written: Any) -> Any:
    """Return channels written with sRGB's curve as linear ones."""
    return np.sign(written) * to_linear(np.abs(written))


_LINEAR: dict[str, Callable[[Any], Any]] = {
    "srgb-linear": _plain,
    "display-p3": lambda parsed: _LINEAR_FROM_XYZ @ _XYZ_FROM_P3 @ _decoded(_plain(parsed)),
    "lab": lambda parsed: _LINEAR_FROM_XYZ @ _D65_FROM_D50 @ parsed.to("xyz-d50").coordinates,
    "oklab": lambda parsed: _LINEAR_FROM_XYZ @ parsed.to("xyz-d65").coordinates,
    "xyz-d65": lambda parsed: _LINEAR_FROM_XYZ @ _plain(parsed),
    "xyz-d50": lambda parsed: _LINEAR_FROM_XYZ @ _D65_FROM_D50 @ _plain(parsed),
}
_LINEAR.update({"lch": _LINEAR["lab"], "oklch": _LINEAR["oklab"], "xyz": _LINEAR["xyz-d65"]})
"""How a colour of each space becomes linear sRGB."""
