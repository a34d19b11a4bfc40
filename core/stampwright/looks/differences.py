"""How far apart colours look, and how dark they are: CIE Lab, the difference of 2000, neutral density."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .light import LUMINANCE, to_linear

Values = NDArray[np.float64]

_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""Linear sRGB to XYZ (IEC 61966-2-1); white comes out as the sums of its rows."""


def to_lab(colours: Values) -> Values:
    """Return sRGB colours, (..., 3) from 0 to 1, as CIE L*a*b* under sRGB's own white (CIE 15:2004, 8.2.1).

    >>> [round(float(value), 6) + 0.0 for value in to_lab(np.array([1.0, 1.0, 1.0]))]
    [100.0, 0.0, 0.0]
    """
    shares = to_linear(colours) @ _TO_XYZ.T / _TO_XYZ.sum(axis=1)
    step = 6.0 / 29.0
    bent = np.where(shares > step**3, np.cbrt(shares), shares / (3 * step**2) + 4.0 / 29.0)
    x, y, z = np.moveaxis(bent, -1, 0)
    return np.stack((116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)), axis=-1)


def lab_difference(one: Values, other: Values) -> Values:
    """Return the CIEDE2000 difference of L*a*b* colours, (..., 3) each, all weights 1.

    Source: Sharma, Wu and Dalal 2005, The CIEDE2000 color-difference formula, Color Research and Application 30, 21.
    About 1 is the least that an eye tells side by side; 2 hardly shows on prints (common practice).
    """
    one, other = np.asarray(one, dtype=np.float64), np.asarray(other, dtype=np.float64)
    (light, hue, chroma), (to_light, to_hue, to_chroma) = _evened(one, other)
    both = chroma * to_chroma
    turn = np.where(both == 0.0, 0.0, (to_hue - hue + 180.0) % 360.0 - 180.0)
    # A difference of 180 degrees just so keeps its sign, as the authors have it.
    turn = np.where((both != 0.0) & (np.abs(to_hue - hue) == 180.0), to_hue - hue, turn)
    by_light, by_chroma = to_light - light, to_chroma - chroma
    by_hue = 2.0 * np.sqrt(both) * np.sin(np.radians(turn / 2.0))
    mean_light, mean_chroma = (light + to_light) / 2.0, (chroma + to_chroma) / 2.0
    mean_hue = _mean_hue(hue, to_hue, both)
    weight = (
        1.0
        - 0.17 * np.cos(np.radians(mean_hue - 30.0))
        + 0.24 * np.cos(np.radians(2.0 * mean_hue))
        + 0.32 * np.cos(np.radians(3.0 * mean_hue + 6.0))
        - 0.20 * np.cos(np.radians(4.0 * mean_hue - 63.0))
    )
    per_light = 1.0 + 0.015 * (mean_light - 50.0) ** 2 / np.sqrt(20.0 + (mean_light - 50.0) ** 2)
    per_chroma = 1.0 + 0.045 * mean_chroma
    per_hue = 1.0 + 0.015 * mean_chroma * weight
    turned = 30.0 * np.exp(-(((mean_hue - 275.0) / 25.0) ** 2))
    rotation = -np.sin(np.radians(2.0 * turned)) * 2.0 * _steepness(mean_chroma)
    shares = by_light / per_light, by_chroma / per_chroma, by_hue / per_hue
    square = shares[0] ** 2 + shares[1] ** 2 + shares[2] ** 2 + rotation * shares[1] * shares[2]
    return np.asarray(np.sqrt(np.maximum(square, 0.0)))


def colour_difference(one: Values, other: Values) -> Values:
    """Return the CIEDE2000 difference of sRGB colours, (..., 3) each from 0 to 1; see :func:`lab_difference`.

    >>> float(colour_difference(np.array([1.0, 0.0, 0.0]), np.array([1.0, 0.0, 0.0])))
    0.0
    """
    return lab_difference(to_lab(one), to_lab(other))


def neutral_density(colours: Values) -> Values:
    """Return how dark colours are, (..., 3) sRGB from 0 to 1: the decimal logarithm of 1 over their luminance.

    White paper has 0 (ISO 5-3 takes it against paper alike); black, of which some light always comes, 3 at most.

    >>> float(neutral_density(np.array([1.0, 1.0, 1.0]))) + 0.0
    0.0
    """
    return np.asarray(-np.log10(np.clip(to_linear(colours) @ LUMINANCE, 1e-3, 1.0)))


def _evened(one: Values, other: Values) -> tuple[tuple[Values, Values, Values], tuple[Values, Values, Values]]:
    """Return lightness, hue in degrees and chroma of both colours, a* stretched where both are near grey."""
    mean = (np.hypot(one[..., 1], one[..., 2]) + np.hypot(other[..., 1], other[..., 2])) / 2.0
    stretch = 1.0 + 0.5 * (1.0 - _steepness(mean))

    def evened(lab: Values) -> tuple[Values, Values, Values]:
        red = stretch * lab[..., 1]
        hue = np.degrees(np.arctan2(lab[..., 2], red)) % 360.0
        return lab[..., 0], np.where((red == 0) & (lab[..., 2] == 0), 0.0, hue), np.hypot(red, lab[..., 2])

    return evened(one), evened(other)


def _steepness(chroma: Values) -> Values:
    return np.asarray(np.sqrt(chroma**7 / (chroma**7 + 25.0**7)))


def _mean_hue(hue: Values, other: Values, both: Values) -> Values:
    """Return the hue midway between two, the short way round; their sum where one of the colours is grey."""
    total, apart = hue + other, np.abs(hue - other)
    round_about = np.where(total < 360.0, total + 360.0, total - 360.0)
    return np.where(both == 0.0, total, np.where(apart <= 180.0, total, round_about) / 2.0)
