"""Surfaces: values at the middles of square tiles, drawn out evenly over the pixels between."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

BAND = 256
"""Rows taken at a time; what is worked out for them stays within the processor's cache."""


def over_rows(
    surface: NDArray[np.float32], tile: int, shape: tuple[int, ...], band: int
) -> Iterator[tuple[slice, NDArray[np.float32]]]:
    """Yield a surface, band by band of rows, at every pixel of a picture of ``shape``; level beyond the outer middles.

    ``surface``: values at the middles of tiles of ``tile`` pixels a side.
    """
    if tile == 1:
        for top in range(0, shape[0], band):
            yield slice(top, top + band), surface[top : top + band]
        return
    places = [(np.arange(side, dtype=np.float32) + 0.5) / tile - 0.5 for side in shape]
    across = np.stack([np.interp(places[1], np.arange(surface.shape[1]), row) for row in surface]).astype(np.float32)
    below = np.clip(places[0].astype(np.intp), 0, max(surface.shape[0] - 2, 0))
    above = np.minimum(below + 1, surface.shape[0] - 1)
    share = np.clip(places[0] - below, 0.0, 1.0).astype(np.float32)
    for top in range(0, shape[0], band):
        rows = slice(top, top + band)
        yield rows, across[below[rows]] * (1 - share[rows, None]) + across[above[rows]] * share[rows, None]
