"""Level sections of a solid, many at once: areas and outline lengths straight from the triangles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .columns import columns_of, taken
from .solid import Solid

_Columns = tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]

_MOST_CUTS = 4_000_000
"""Cuts of a triangle by a level that are worked on at once; bounds memory to a few hundred MB."""


def measure_sections(solid: Solid, heights: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return area, mm², and outline length, mm, of the solid's sections at ``heights``, (k,) mm.

    Each triangle that a level cuts gives a piece of outline; areas follow from the pieces by Green's theorem. A level
    through a vertex counts as just above it.
    """
    levels = np.asarray(heights, dtype=np.float64)
    order = np.argsort(levels)
    rising = levels[order]
    wedges = _wedges(*_cut_by(solid, rising))
    first = np.searchsorted(rising, wedges.low)
    cuts = np.searchsorted(rising, wedges.high) - first
    areas, lengths = np.zeros(len(levels)), np.zeros(len(levels))
    total = np.cumsum(cuts)
    batches = np.searchsorted(total, np.arange(_MOST_CUTS, total[-1] if len(total) else 0, _MOST_CUTS))
    for part in np.split(np.arange(len(cuts)), batches):
        wedge = np.repeat(part, cuts[part])
        step = np.arange(len(wedge)) - np.repeat(np.cumsum(cuts[part]) - cuts[part], cuts[part])
        level = first[wedge] + step
        from_apex = rising[level] - wedges.apex[wedge]
        where = order[level]
        swept = from_apex * (wedges.swept[wedge] + from_apex * wedges.widening[wedge])
        areas += np.bincount(where, swept, len(levels))
        lengths += np.bincount(where, np.abs(from_apex) * wedges.width[wedge], len(levels))
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


@dataclass(frozen=True)
class _Wedges:
    """Triangles parted at the height of their middle corner: what levels cut of each part grows from its apex.

    All (n,), mm: a level z between ``low`` and ``high`` cuts ``width`` times its distance from the ``apex``, which
    counts ``(z - apex) * (swept + (z - apex) * widening)`` to the area.
    """

    low: NDArray[np.float64]
    high: NDArray[np.float64]
    apex: NDArray[np.float64]
    swept: NDArray[np.float64]
    widening: NDArray[np.float64]
    width: NDArray[np.float64]


def _cut_by(solid: Solid, levels: NDArray[np.float64]) -> tuple[_Columns, NDArray[np.int32]]:
    """Return a solid's vertices by columns, and those triangles, (m, 3), that a level cuts; levels rise."""
    columns = columns_of(solid.vertices)
    # The first level over each vertex: a triangle is cut that has one between its corners.
    over = np.searchsorted(levels, columns[2])
    first, second, third = (over[solid.triangles[:, corner]] for corner in range(3))
    return columns, solid.triangles[(first != second) | (second != third)]


def _wedges(columns: _Columns, triangles: NDArray[np.int32]) -> _Wedges:
    """Return the parts of triangles, (m, 3), that have a height; those below their middle corners first."""
    corners = np.ascontiguousarray(triangles.T)
    a, b, c = columns[2][corners]
    lowest = np.where(b < a, np.where(c < b, 2, 1), np.where(c < a, 2, 0))
    highest = np.where(c >= b, np.where(c >= a, 2, 0), np.where(b >= a, 1, 0))
    between = 3 - lowest - highest
    each = np.arange(len(triangles))
    low, middle, high = (taken(columns, corners[which, each]) for which in (lowest, between, highest))
    # In order of height they run round the triangle as it does, or against it.
    side = np.where((between - lowest) % 3 == 1, 0.5, -0.5)
    rise = high[2] - low[2]
    along = (high[0] - low[0]) / rise, (high[1] - low[1]) / rise
    parts = []
    for apex, bottom, top in ((low, low, middle), (high, middle, high)):
        tall = np.flatnonzero(top[2] > bottom[2])
        (x, y, z), over = taken(apex, tall), side[tall]
        rise = (top[2] - bottom[2])[tall]
        one = along[0][tall], along[1][tall]
        two = (top[0] - bottom[0])[tall] / rise, (top[1] - bottom[1])[tall] / rise
        apart = two[0] - one[0], two[1] - one[1]
        swept = over * (x * apart[1] - y * apart[0])
        widening = over * (one[0] * two[1] - one[1] * two[0])
        parts.append((bottom[2][tall], top[2][tall], z, swept, widening, np.hypot(*apart)))
    return _Wedges(*(np.concatenate(each) for each in zip(*parts, strict=True)))
