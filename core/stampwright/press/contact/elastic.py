"""Elastic surfaces on a regular grid: from a map of pressure to a map of how far the surface gives way.

A surface answers by convolution, done with fast Fourier transforms. A half-space is exact for pixels of even pressure
and free of images, because the grid is doubled with zeros; a stack of layers on a rigid base forgets a push within a
few thicknesses, so that less padding does.
"""

from __future__ import annotations

import math
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .layers import Layer, bending_length, surface_compliance

Map = NDArray[np.floating]

_REACH = 5.0  # padding in bending lengths; measured: images then move the surface by at most 0.2 % of its greatest give
_HANDS = min(4, os.cpu_count() or 1)
_STRIP = 64  # lines transformed at a time
_WORTH_SHARING = 200_000  # waves; below, handing strips round costs more than it saves
_TABLE = 512  # wave numbers at which a stack is reckoned; between them it is smooth to 1e-5


@dataclass(frozen=True, eq=False)
class ElasticSurface:
    """A surface that gives way: ``spectrum`` times the transform of pressure is the transform of displacement.

    ``shape``: (rows, columns) of the maps; ``padded``: the grid that they are embedded in. ``spectrum`` is
    (padded columns // 2 + 1, padded rows), real, mm/MPa; it lies transposed, so that both passes run along memory.
    """

    shape: tuple[int, int]
    padded: tuple[int, int]
    spectrum: Map

    def yield_to(self, pressure: Map) -> Map:
        """Return how far the surface gives way, mm, under ``pressure``: (rows, columns) float, MPa."""
        rows, columns = self.shape
        tall, wide = self.padded
        waves = np.result_type(self.spectrum, np.complex64)
        block = np.zeros((wide // 2 + 1, tall), dtype=waves)
        displacement = np.empty(self.shape, dtype=self.spectrum.dtype)

        def rows_to_waves(part: slice) -> None:
            block[:, part] = np.fft.rfft(pressure[part], n=wide, axis=1).T

        def answer(part: slice) -> None:
            spread = np.fft.fft(block[part], axis=1)
            spread *= self.spectrum[part]
            block[part] = np.fft.ifft(spread, axis=1)

        def waves_to_rows(part: slice) -> None:
            displacement[part] = np.fft.irfft(block[:, part].T, n=wide, axis=1)[:, :columns]

        # Strip by strip, so that what is worked on stays in the processor's own memory.
        stages = ((rows_to_waves, rows), (answer, len(block)), (waves_to_rows, rows))
        if block.size < _WORTH_SHARING:
            for work, length in stages:
                for part in _strips(length):
                    work(part)
            return displacement
        # The transforms let go of the interpreter, so that strips are worked on side by side.
        with ThreadPoolExecutor(_HANDS) as hands:
            for work, length in stages:
                for _ in hands.map(work, _strips(length)):
                    pass
        return displacement


def layered(
    shape: tuple[int, int], pitch: float, stacks: Sequence[Sequence[Layer]], dtype: str, *, periodic: bool = False
) -> ElasticSurface:
    """Return a surface whose give is that of several stacks of layers together, each on its own rigid base.

    ``stacks``: those of the die and of the paper's side, say. ``periodic`` leaves the padding out: the maps repeat.
    """
    reach = 0 if periodic else max((_REACH * bending_length(stack) for stack in stacks if stack), default=0.0)
    padded = tuple(size if periodic else good_size(size + min(size, math.ceil(reach / pitch))) for size in shape)
    # Waves that run down answer as those that run up do.
    up = 2.0 * np.pi * np.fft.rfftfreq(padded[0], pitch)
    mirrored = np.minimum(np.arange(padded[0]), padded[0] - np.arange(padded[0]))
    along = 2.0 * np.pi * np.fft.rfftfreq(padded[1], pitch)
    # Even steps in the square root of the wave number: dense where the compliance bends, at waves as long as the stack.
    top = math.hypot(up.max(), along.max()) * 1.001
    steps = np.linspace(0.0, 1.0, _TABLE)
    table = sum((surface_compliance(stack, top * steps**2) for stack in stacks), np.zeros(_TABLE))
    place = np.sqrt(np.hypot(along[:, None], up[None, :]) / top)
    spectrum = np.interp(place.ravel(), steps, table).reshape(place.shape).astype(dtype)
    return ElasticSurface((shape[0], shape[1]), (padded[0], padded[1]), spectrum[:, mirrored])


def good_size(least: int) -> int:
    """Return the smallest even number from ``least`` up that has no prime factor over 5: quick to transform.

    >>> good_size(1181), good_size(2362)
    (1200, 2400)
    """
    size = least + least % 2
    while _without_small_factors(size) != 1:
        size += 2
    return size


def _strips(length: int) -> Iterator[slice]:
    return (slice(start, min(start + _STRIP, length)) for start in range(0, length, _STRIP))


def _without_small_factors(number: int) -> int:
    for factor in (2, 3, 5):
        while number % factor == 0:
            number //= factor
    return number
