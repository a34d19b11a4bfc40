"""Elastic half-spaces, which have closed solutions and independent solvers to hold the contact solver against."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from stampwright.press.contact.elastic import ElasticSurface, good_size
from stampwright.press.contact.layers import half_space_compliance


def half_space(shape: tuple[int, int], pitch: float, stiffness: float, poisson: float, dtype: str) -> ElasticSurface:
    """Return an elastic half-space under maps of ``shape``, pixels ``pitch`` mm apart.

    The answer to one pixel of even pressure is that of A. E. H. Love, "The stress produced in a semi-infinite solid by
    pressure on part of the boundary", Phil. Trans. R. Soc. A 228 (1929), 377; K. L. Johnson, "Contact Mechanics"
    (1985), eq. 3.25. Doubling the grid keeps images out: S. Liu, Q. Wang and G. Liu, "A versatile method of discrete
    convolution and FFT (DC-FFT) for contact analyses", Wear 243 (2000), 101.
    """
    rows, columns = shape
    padded = good_size(2 * rows), good_size(2 * columns)
    quarter = _love(rows, columns, pitch) * (1.0 - poisson**2) / (math.pi * stiffness)
    kernel = np.zeros(padded)
    kernel[:rows, :columns] = quarter
    kernel[:rows, padded[1] - columns + 1 :] = quarter[:, :0:-1]
    kernel[padded[0] - rows + 1 :] = kernel[rows - 1 : 0 : -1]
    spectrum = np.fft.rfft2(kernel).real.T
    return ElasticSurface(shape, padded, np.ascontiguousarray(spectrum, dtype=dtype))


def periodic_half_space(
    shape: tuple[int, int], pitch: float, stiffness: float, poisson: float, dtype: str
) -> ElasticSurface:
    """Return an elastic half-space under maps that repeat without end; the mean displacement, unbounded, is left out.

    H. M. Stanley and T. Kato, "An FFT-based method for rough surface contact", J. Tribol. 119 (1997), 481.
    """
    up = 2.0 * np.pi * np.fft.fftfreq(shape[0], pitch)
    along = 2.0 * np.pi * np.fft.rfftfreq(shape[1], pitch)
    waves = np.hypot(along[:, None], up[None, :])
    waves[0, 0] = 1.0
    spectrum = half_space_compliance(stiffness, poisson, waves)
    spectrum[0, 0] = 0.0
    return ElasticSurface(shape, shape, spectrum.astype(dtype))


def _love(rows: int, columns: int, pitch: float) -> NDArray[np.float64]:
    """Return the give at pixel (row, column) from unit pressure on pixel (0, 0), times pi E / (1 - nu²)."""
    y = (np.arange(rows + 1)[:, None] - 0.5) * pitch
    x = (np.arange(columns + 1)[None, :] - 0.5) * pitch
    far = np.hypot(x, y)
    corner = x * np.log(y + far) + y * np.log(x + far)
    return np.asarray(corner[1:, 1:] - corner[:-1, 1:] - corner[1:, :-1] + corner[:-1, :-1])
