"""What triangles cover, by the outlines of the patches in which they hang together rather than one by one.

A body seen from above is covered once by its front and once by its back; a tube of a thousand triangles is then two
outlines that lie on each other, and a flat mesh is one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from ...plane.links import Wholes, least_labels, rounds
from ...plane.rings import cross_product
from ..outlines.crossing import NOTHING
from ..outlines.filling import filled, united

LEAST_FACE = 1e-9
"""Faces with less area than this, mm², are seen edge on."""


def covered(triangles: NDArray[np.float64]) -> BaseGeometry:
    """Return the area that triangles, (n, 3, 2) float, mm, cover, each whichever way it turns.

    >>> covered(np.array([[(0.0, 0.0), (2.0, 0.0), (2.0, 2.0)], [(0.0, 2.0), (0.0, 0.0), (2.0, 2.0)]])).area
    4.0
    """
    sides = triangles[:, 1:] - triangles[:, :1]
    areas = cross_product(sides[:, 0], sides[:, 1]) / 2
    turned = np.where((areas < 0)[:, None, None], triangles[:, ::-1], triangles)[np.abs(areas) > LEAST_FACE]
    if not len(turned):
        return NOTHING
    # As complex numbers corners are compared whole; minus zero is zero there, too.
    places, corners = np.unique(np.ascontiguousarray(turned).view(np.complex128).ravel(), return_inverse=True)
    starts: Wholes = corners.ravel()
    ends: Wholes = np.roll(starts.reshape(-1, 3), -1, axis=1).ravel()
    pairs = _inner_edges(starts, ends, len(places))
    outer = np.ones(len(starts), dtype=bool)
    outer[pairs] = False
    patches = np.repeat(least_labels(len(turned), pairs // 3), 3)[outer]
    starts, ends = starts[outer], ends[outer]
    order, lengths = rounds(_following(starts, ends, patches))
    outlines = np.split(order, np.cumsum(lengths)[:-1])
    points = np.column_stack((places.real, places.imag))
    by_patch: dict[int, list[Wholes]] = {}
    for outline in outlines:
        by_patch.setdefault(int(patches[outline[0]]), []).append(starts[outline])
    # The back of a body has the outline of its front.
    patches_told = {tuple(sorted(_from_least(each) for each in rings)) for rings in by_patch.values()}
    return united([filled([points[list(ring)] for ring in rings], "nonzero") for rings in sorted(patches_told)])


def _inner_edges(starts: Wholes, ends: Wholes, count: int) -> Wholes:
    """Return pairs of edges, (n, 2), that run to and fro between the same of ``count`` places, each in one pair."""
    back = starts > ends
    key = np.where(back, ends * count + starts, starts * count + ends)
    order = np.lexsort((back, key))
    begins = np.append(True, (np.diff(key[order]) != 0) | np.diff(back[order]))
    rank = np.arange(len(order)) - np.flatnonzero(begins)[np.cumsum(begins) - 1]
    # Where an edge is met more than once, the first there is paired with the first back.
    again = np.lexsort((back[order], rank, key[order]))
    order, rank = order[again], rank[again]
    alike = (np.diff(key[order]) == 0) & (np.diff(rank) == 0)
    firsts = np.flatnonzero(alike)
    return np.column_stack((order[firsts], order[firsts + 1]))


def _following(starts: Wholes, ends: Wholes, patches: Wholes) -> Wholes:
    """Return for each edge one of its patch that begins where it ends, each following one other."""
    following = np.empty(len(starts), dtype=np.int64)
    following[np.lexsort((ends, patches))] = np.lexsort((starts, patches))
    return following


def _from_least(ring: Wholes) -> tuple[int, ...]:
    """Return the places of a ring from the least on."""
    return tuple(np.roll(ring, -int(ring.argmin())).tolist())
