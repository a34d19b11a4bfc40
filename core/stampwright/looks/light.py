"""Light and how it is written: sRGB's curve both ways, and what each primary weighs in luminance."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
"""Share of red, green and blue in luminance (IEC 61966-2-1)."""


def to_linear(colours: NDArray[Any]) -> NDArray[Any]:
    """Return sRGB values of any shape, 0 to 1, in linear light (IEC 61966-2-1).

    >>> to_linear(np.array([0.0, 1.0])).tolist()
    [0.0, 1.0]
    """
    return np.where(colours <= 0.04045, colours / 12.92, ((np.maximum(colours, 0.0) + 0.055) / 1.055) ** 2.4)


def from_linear(light: NDArray[Any]) -> NDArray[Any]:
    """Return linear light of any shape, 0 to 1, as sRGB values; the inverse of :func:`to_linear`."""
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 0.0) ** (1.0 / 2.4) - 0.055)
