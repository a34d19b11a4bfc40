"""What inks look like over one another: each lets through its share of linear light, whatever lies under it.

An ink printed solid on white paper reflects, in linear red, green and blue, what its colour says; over another ink, the
shares multiply, as densities of clear layers add (Beer and Lambert's law; so also "multiply" on linear values). Real
stamp inks scatter a little light as well, so that a light ink over a dark one shows somewhat more than here.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..looks.colours import rgb
from ..looks.light import from_linear, to_linear

_STEPS = 4096
"""Of linear light, when a picture is coded: finer than a step of its 8 bits everywhere but in the darkest greys."""


def mixed(colours: Sequence[str]) -> tuple[float, float, float]:
    """Return the colour of inks printed solid over one another on white paper, sRGB from 0 to 1.

    >>> mixed(["#ffffff", "#808080"]) == mixed(["#808080"])
    True
    """
    light = np.prod([to_linear(np.array(rgb(colour))) for colour in colours], axis=0)
    red, green, blue = (float(value) for value in from_linear(light))
    return red, green, blue


def coloured_picture(pictures: Sequence[NDArray[np.uint8]], colours: Sequence[str]) -> NDArray[np.uint8]:
    """Return impressions in several inks as they look over one another, (rows, columns, 3) uint8.

    ``pictures``: of one size, (rows, columns) uint8, 0 full ink to 255 bare paper; ``colours``: of their inks. Where an
    ink covers a share of a pixel, its light and that of the paper beside it are mixed.
    """
    # Nearly every pixel is wholly inked or wholly bare in each ink: there are few such colours, and each is mixed once.
    number = np.uint8 if len(pictures) <= 8 else np.uint16
    solid = np.zeros(pictures[0].shape, dtype=number)
    edge = np.zeros(pictures[0].shape, dtype=np.bool_)
    for at, picture in enumerate(pictures):
        solid |= (picture == 0).astype(number) << number(at)
        edge |= (picture - np.uint8(1)) < np.uint8(254)
    every = np.arange(2 ** len(pictures))
    laid = [np.where(every >> at & 1, 0, 255).astype(np.uint8) for at in range(len(pictures))]
    coloured = _coded(laid, colours).take(solid, axis=0)
    coloured[edge] = _coded([picture[edge] for picture in pictures], colours)
    return coloured


def _coded(tones: Sequence[NDArray[np.uint8]], colours: Sequence[str]) -> NDArray[np.uint8]:
    """Return the colours, (n, 3) uint8, of inks that cover as much as ``tones`` say, (n,) each."""
    light = np.ones((len(tones[0]), 3), dtype=np.float32)
    for tone, colour in zip(tones, colours, strict=True):
        through = to_linear(np.array(rgb(colour))).astype(np.float32)
        bare = np.arange(256, dtype=np.float32)[:, None] / np.float32(255.0)
        light *= (through + (1 - through) * bare)[tone]
    coded = np.rint(255.0 * from_linear(np.linspace(0.0, 1.0, _STEPS) ** 2)).astype(np.uint8)
    np.sqrt(light, out=light)
    light *= _STEPS - 1
    return np.asarray(coded[(light + np.float32(0.5)).astype(np.uint16)])
