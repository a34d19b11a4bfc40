"""What rings fill that may cross themselves and each other: the one file that knows the library which clips outlines.

That library works on a decimal grid. Rings are enlarged, by a power of two, which loses nothing, until they are
:data:`SPAN` across; a grid step is then 1e-14 of the drawing or less, near what doubles hold, and so is the error of
every crossing. Areas agree with those of exact cutting to 3e-9 of the drawing's.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import manifold3d
import numpy as np
from shapely.geometry import MultiPolygon

from .rings import FillRule, Points, bounded_by, edges_of, parted_rings

SPAN = 2.0**20
"""Width or height of what is clipped, in units of which the library's grid has 1e8: 1e14 steps, exact in doubles."""

_RULES = {
    "nonzero": manifold3d.FillRule.NonZero,
    "evenodd": manifold3d.FillRule.EvenOdd,
    "positive": manifold3d.FillRule.Positive,
}


def fill_rings(rings: Sequence[Points], rule: FillRule) -> MultiPolygon | None:
    """Return the region that rings fill, whichever way they cross; None where the library errs on edges that coincide.

    ``rings``: (n, 2) float arrays, the last point joined to the first. A point is inside where its winding number is
    not zero, odd, or above zero, as the rule says.

    >>> bow = np.array([[0.0, 0.0], [2.0, 2.0], [2.0, 0.0], [0.0, 2.0]])
    >>> fill_rings([bow], "nonzero").area, fill_rings([bow], "positive").area
    (2.0, 1.0)
    """
    return bounded_by(parted_rings(outline_rings(rings, rule)))


def outline_rings(rings: Sequence[Points], rule: FillRule) -> list[Points]:
    """Return the outlines of what rings fill, ink on their left; none crosses another, some may touch.

    ``rings`` as for :func:`fill_rings`. Points that stay keep their place to 1e-14 of the drawing's size. The time
    goes with :func:`sweep_steps`, about 0.1 µs a step.
    """
    given = [ring for ring in rings if len(ring) >= 3]
    if not given:
        return []
    points = np.concatenate(given)
    low, high = points.min(axis=0), points.max(axis=0)
    size = float((high - low).max())
    if not size > 0:
        return []
    scale, middle = 2.0 ** math.floor(math.log2(SPAN / size)), (low + high) / 2
    # The library sweeps along y; turned a quarter, what lies side by side stands one above the other.
    quarter = np.array([[0.0, -1.0], [1.0, 0.0]])
    along_y, along_x = sweep_steps(given)
    turn = quarter if along_x < along_y else np.eye(2)
    placed = [np.ascontiguousarray(((ring - middle) * scale) @ turn) for ring in given]
    found = manifold3d.CrossSection(placed, _RULES[rule]).to_polygons()
    if not found:
        return []
    corners = np.concatenate(found) @ turn.T / scale + middle
    ends = np.cumsum([len(ring) for ring in found]).tolist()
    return [corners[begin:end] for begin, end in zip([0, *ends[:-1]], ends, strict=True)]


def sweep_steps(rings: Sequence[Points]) -> tuple[int, int]:
    """Return how many edges a line meets in all that sweeps over rings and stops at every point: along y, and along x.

    It is what clipping costs: n log n where few edges lie side by side, n squared where most do.
    """
    starts, ends, _ = edges_of(rings)
    steps = []
    for axis in (1, 0):
        _, ranks = np.unique(np.concatenate((starts[:, axis], ends[:, axis])), return_inverse=True)
        steps.append(int(np.abs(ranks[: len(starts)] - ranks[len(starts) :]).sum()))
    return steps[0], steps[1]
