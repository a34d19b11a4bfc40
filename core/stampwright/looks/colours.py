"""The colours of paper, panels and pictures, each with what it stands for, and how light and how far apart they are.

All are our own: an ink blue, madder, mustard and two greys on white. What tells things apart is never the colour alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..findings import Severity

Rgb = tuple[float, float, float]

PAPER = "#ffffff"
INK = "#1d2630"
"""What stamps print, and letters."""

QUIET, RULE, HAIRLINE = "#5a6270", "#8f959e", "#e4dfd6"
"""Greys for letters that step back, for lines, and for the lines of a table."""

MADDER, MUSTARD, BLUE = "#a0282a", "#8a5a00", "#2b5c93"
GREEN, PURPLE = "#1f7a4d", "#a8358c"

SEVERITY: dict[Severity, str] = {"blocks": MADDER, "warns": MUSTARD, "notes": BLUE}
"""Colours of what was found, by how bad it is; the shape of the sign tells it without any."""

ADDED, REMOVED = GREEN, PURPLE
"""What repair added to the artwork, and what it took away; the second is hatched as well."""

VIEW = "#303030"
"""A dark ground, about as dark as the views and panels of a modelling program."""

SEVERITY_IN_VIEW: dict[Severity, str] = {"blocks": "#e0564f", "warns": "#e0a52e", "notes": "#6aa3dd"}
ADDED_IN_VIEW, REMOVED_IN_VIEW = "#3fae74", "#d873be"
"""The same hues for a dark ground."""

DESK, BAND = "#ece9e3", "#f1ede5"
"""The ground round a page on screen, and the band of a diagram that is marked out."""

DIE_FILAMENT, HARD_FILAMENT = "#8c3b3b", "#d8c7a5"
"""Parts in files and pictures: the soft die, and what is printed hard."""

CURVES: tuple[tuple[str, tuple[float, ...]], ...] = (
    (MADDER, ()),
    (GREEN, (4.0, 0.9)),
    (BLUE, (1.7, 1.2)),
    (MUSTARD, (0.7, 1.0)),
    (QUIET, (2.4, 1.0, 0.6, 1.0)),
)
"""Colours of the curves of a diagram, and their dashes in mm, so that they are told apart in grey too."""


def rgb(colour: str) -> Rgb:
    """Return the red, green and blue, sRGB, 0 to 1, of a colour as HTML writes it, with three or six digits.

    >>> rgb("#fff"), rgb("#000000")
    ((1.0, 1.0, 1.0), (0.0, 0.0, 0.0))
    """
    digits = colour.lstrip("#")
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    red, green, blue = (int(digits[at : at + 2], 16) / 255.0 for at in (0, 2, 4))
    return red, green, blue


def html_code(colour: Iterable[float]) -> str:
    """Return a colour, sRGB, 0 to 1, as HTML writes it: the nearest with six digits.

    >>> html_code((1.0, 0.5, 0.0))
    '#ff8000'
    """
    return "#" + "".join(f"{round(255 * part):02x}" for part in colour)


def luminance(colour: Rgb) -> float:
    """Return the relative luminance of a colour, sRGB, 0 to 1 (WCAG 2.2; IEC 61966-2-1).

    >>> luminance((1.0, 1.0, 1.0))
    1.0
    """
    red, green, blue = map(_linear, colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Rgb, other: Rgb) -> float:
    """Return the contrast of two colours, 1 to 21 (WCAG 2.2, success criterion 1.4.3); letters need 4.5.

    >>> round(contrast((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)), 6)
    21.0
    """
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def lightness(colour: Rgb) -> float:
    """Return the lightness L* of a colour, 0 to 100 (CIE 15:2004, eq. 8.3 and 8.6), under sRGB's own white.

    >>> lightness((1.0, 1.0, 1.0)), lightness((0.0, 0.0, 0.0))
    (100.0, 0.0)
    """
    share = luminance(colour)
    return 116.0 * share ** (1.0 / 3.0) - 16.0 if share > (6.0 / 29.0) ** 3 else (29.0 / 3.0) ** 3 * share


def ramp(steps: int) -> list[Rgb]:
    """Return colours from ink blue to mustard whose lightness climbs evenly: for a scale of pressure, say.

    They run straight through Oklab, from one hue to the other by way of grey (B. Ottosson, A perceptual color space for
    image processing, 2020), so that those who see no red or no green tell them apart as well.

    >>> [tuple(round(part, 2) for part in colour) for colour in ramp(2)]
    [(0.05, 0.13, 0.29), (0.98, 0.87, 0.42)]
    """
    low, high = _RAMP_ENDS
    shares = [step / (steps - 1) for step in range(steps)]
    return [_at_lightness(low, high, share) for share in shares]


_RAMP_ENDS = ((0.051, 0.129, 0.290), (0.980, 0.871, 0.420))
"""Ink blue, dark, and mustard, light; sRGB."""


def _at_lightness(low: Rgb, high: Rgb, share: float) -> Rgb:
    """Return the colour on the way from one to another whose lightness L* is that share of the way."""
    wanted = lightness(low) + share * (lightness(high) - lightness(low))
    start, end = 0.0, 1.0
    ends = _oklab(low), _oklab(high)
    for _ in range(40):
        middle = (start + end) / 2.0
        if lightness(_between(*ends, middle)) < wanted:
            start = middle
        else:
            end = middle
    return _between(*ends, (start + end) / 2.0)


def _between(low: Rgb, high: Rgb, share: float) -> Rgb:
    light, first, second = (a + share * (b - a) for a, b in zip(low, high, strict=True))
    return _from_oklab(light, first, second)


def _oklab(colour: Rgb) -> Rgb:
    red, green, blue = map(_linear, colour)
    long = math.cbrt(0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue)
    middle = math.cbrt(0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue)
    short = math.cbrt(0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue)
    return (
        0.2104542553 * long + 0.7936177850 * middle - 0.0040720468 * short,
        1.9779984951 * long - 2.4285922050 * middle + 0.4505937099 * short,
        0.0259040371 * long + 0.7827717662 * middle - 0.8086757660 * short,
    )


def _from_oklab(light: float, first: float, second: float) -> Rgb:
    long = (light + 0.3963377774 * first + 0.2158037573 * second) ** 3
    middle = (light - 0.1055613458 * first - 0.0638541728 * second) ** 3
    short = (light - 0.0894841775 * first - 1.2914855480 * second) ** 3
    return (
        _encoded(4.0767416621 * long - 3.3077115913 * middle + 0.2309699292 * short),
        _encoded(-1.2684380046 * long + 2.6097574011 * middle - 0.3413193965 * short),
        _encoded(-0.0041960863 * long - 0.7034186147 * middle + 1.7076147010 * short),
    )


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4


def _encoded(part: float) -> float:
    part = min(max(part, 0.0), 1.0)
    return 12.92 * part if part <= 0.0031308 else 1.055 * part ** (1.0 / 2.4) - 0.055
