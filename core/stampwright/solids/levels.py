"""Level sections of a solid, many at once: areas and outline lengths straight from the triangles."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .solid import Solid

_MOST_CUTS = 4_000_000
"""Cuts of a triangle by a level that are worked on at once; bounds memory to a few hundred MB."""


def measure_sections(solid: Solid, heights: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return area, mm², and outline length, mm, of the solid's sections at ``heights``, (k,) mm.

    Each triangle that a level cuts gives a piece of outline; areas follow from the pieces by Green's theorem. A level
    through a vertex counts as just above it.
    """
    levels = np.asarray(heights, dtype=np.float64)
    order = np.argsort(levels)
    corners = solid.vertices[solid.triangles]
    low, high = corners[:, :, 2].min(axis=1), corners[:, :, 2].max(axis=1)
    first = np.searchsorted(levels[order], low)
    cuts = np.searchsorted(levels[order], high) - first
    areas, lengths = np.zeros(len(levels)), np.zeros(len(levels))
    total = np.cumsum(cuts)
    batches = np.searchsorted(total, np.arange(_MOST_CUTS, total[-1] if len(total) else 0, _MOST_CUTS))
    for part in np.split(np.arange(len(cuts)), batches):
        triangle = np.repeat(part, cuts[part])
        step = np.arange(len(triangle)) - np.repeat(np.cumsum(cuts[part]) - cuts[part], cuts[part])
        level = first[triangle] + step
        start, end = _pieces(corners[triangle], levels[order][level])
        where = order[level]
        areas += np.bincount(where, (start[:, 0] * end[:, 1] - end[:, 0] * start[:, 1]) / 2, len(levels))
        lengths += np.bincount(where, np.hypot(*(end - start).T), len(levels))
    return areas, lengths


def volume_by_sections(solid: Solid) -> float:
    """Return the volume, mm³, as the integral of section areas over height.

    Between two heights of vertices the area is a quadratic of height, which two places after Gauss integrate exactly.
    This account of the volume does not go through the divergence theorem.
    """
    levels = np.unique(solid.vertices[:, 2])
    inside = (levels[:-1, None] + np.diff(levels)[:, None] * _GAUSS_PLACES).reshape(-1)
    areas, _ = measure_sections(solid, inside)
    return float((areas.reshape(-1, 2).mean(axis=1) * np.diff(levels)).sum())


_GAUSS_PLACES = 0.5 + np.array([-0.5, 0.5]) / np.sqrt(3.0)
"""Two places in an interval whose mean is exact for cubics (Gauss); unlike Simpson's, both lie off the vertices."""


def _pieces(
    corners: NDArray[np.float64], level: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return start and end, (n, 2) each, of the cuts of triangles by levels, with the solid on the left."""
    above = corners[:, :, 2] > level[:, None]
    single_above = above.sum(axis=1) == 1
    lone = np.argmax(above == single_above[:, None], axis=1)
    a, b, c = (corners[np.arange(len(corners)), (lone + k) % 3] for k in range(3))
    one, two = _crossing(a, b, level), _crossing(a, c, level)
    forward = single_above[:, None]
    return np.where(forward, one, two), np.where(forward, two, one)


def _crossing(
    inner: NDArray[np.float64], outer: NDArray[np.float64], level: NDArray[np.float64]
) -> NDArray[np.float64]:
    share = (level - inner[:, 2]) / (outer[:, 2] - inner[:, 2])
    crossing: NDArray[np.float64] = inner[:, :2] + share[:, None] * (outer[:, :2] - inner[:, :2])
    return crossing
