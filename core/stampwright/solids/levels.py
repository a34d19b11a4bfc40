"""Level sections of a solid, many at once: areas and outline lengths straight from the triangles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..plane.rings import cross_product
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
    wedges = _wedges(solid.vertices[solid.triangles])
    first = np.searchsorted(levels[order], wedges.low)
    cuts = np.searchsorted(levels[order], wedges.high) - first
    areas, lengths = np.zeros(len(levels)), np.zeros(len(levels))
    total = np.cumsum(cuts)
    batches = np.searchsorted(total, np.arange(_MOST_CUTS, total[-1] if len(total) else 0, _MOST_CUTS))
    for part in np.split(np.arange(len(cuts)), batches):
        wedge = np.repeat(part, cuts[part])
        step = np.arange(len(wedge)) - np.repeat(np.cumsum(cuts[part]) - cuts[part], cuts[part])
        level = first[wedge] + step
        from_apex = levels[order][level] - wedges.apex[wedge]
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


def _wedges(corners: NDArray[np.float64]) -> _Wedges:
    """Return the parts of triangles, (n, 3, 3) mm, that have a height; those below their middle corners first."""
    rank = np.argsort(corners[:, :, 2], axis=1, kind="stable")
    low, middle, high = (corners[np.arange(len(corners)), rank[:, k]] for k in range(3))
    # In order of height they run round the triangle as it does, or against it.
    side = np.where((rank[:, 1] - rank[:, 0]) % 3 == 1, 0.5, -0.5)
    parts = []
    for apex, bottom, top in ((low, low, middle), (high, middle, high)):
        tall = top[:, 2] > bottom[:, 2]
        at, over = apex[tall], side[tall]
        rise = (high - low)[tall, 2:]
        one, two = (high - low)[tall, :2] / rise, (top - bottom)[tall, :2] / (top - bottom)[tall, 2:]
        apart = two - one
        swept, widening = over * cross_product(at, apart), over * cross_product(one, two)
        parts.append((bottom[tall, 2], top[tall, 2], at[:, 2], swept, widening, np.hypot(*apart.T)))
    return _Wedges(*(np.concatenate(each) for each in zip(*parts, strict=True)))
