"""Which rings meet, and which lie in which, told from those whose boxes meet.

Of most drawings few boxes meet, and of their rings fewer still. To look at those pairs alone is then a small part of
what it takes to look at every edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

Wholes = NDArray[np.int64]

MOST_PAIRS = 32
"""Pairs of boxes that meet, for each ring on average, up to which they are looked at."""

ASKED = 64
"""Rings by which it is judged how many pairs there are, before they are listed."""


@dataclass(frozen=True, eq=False)
class Beside:
    """Pairs of rings whose boxes meet, (k,) numbers each: the one with the larger box is ``larger``.

    ``meet``: (k,) bool, whether their lines have points in common. ``lines``: (m,) the rings.
    """

    larger: Wholes
    smaller: Wholes
    meet: NDArray[np.bool_]
    lines: NDArray[np.object_]

    @cached_property
    def faces(self) -> NDArray[np.object_]:
        """What the rings bound, (m,)."""
        points, owner = shapely.get_coordinates(self.lines, return_index=True)
        faces: NDArray[np.object_] = shapely.polygons(shapely.linearrings(points, indices=owner))
        return faces

    def meeting(self) -> Wholes:
        """Return the numbers of the rings that meet others, in order."""
        return np.union1d(self.larger[self.meet], self.smaller[self.meet])

    def holding(self) -> tuple[Wholes, Wholes]:
        """Return which rings hold which without meeting them: (k,) numbers of outer rings, and of inner ones.

        What is told of rings that cross themselves, as outer ones, means nothing.
        """
        outer, inner = self.larger[~self.meet], self.smaller[~self.meet]
        boxes = shapely.bounds(self.lines)
        within = (boxes[outer, :2] <= boxes[inner, :2]) & (boxes[outer, 2:] >= boxes[inner, 2:])
        outer, inner = outer[within.all(axis=1)], inner[within.all(axis=1)]
        shapely.prepare(self.faces)
        # None meets the other: where one point lies, all of the ring does.
        starts = shapely.get_coordinates(shapely.get_point(self.lines, 0))
        holds = shapely.contains_xy(self.faces[outer], *starts[inner].T)
        return outer[holds], inner[holds]

    def innermost(self, outer: Wholes, inner: Wholes) -> Wholes:
        """Return the innermost ring round each, (m,), -1 for none, of all pairs of one that holds another."""
        parents = np.full(len(self.lines), -1)
        # Written last is the least of those round a ring.
        order = np.argsort(-shapely.area(self.faces[outer]), kind="stable")
        parents[inner[order]] = outer[order]
        return parents


def look_beside(lines: NDArray[np.object_]) -> Beside | None:
    """Return the pairs of ``lines``, (m,) rings, whose boxes meet; None where they are more than is worth it."""
    count = len(lines)
    tree = shapely.STRtree(lines)
    asked = lines[:: max(1, count // ASKED)]
    if tree.query(asked).shape[1] / len(asked) > MOST_PAIRS:
        return None
    one, other = tree.query(lines)
    one, other = one[one < other], other[one < other]
    # The one with more points is prepared: what is looked for in it is then found without going through all of them.
    sizes = shapely.get_num_coordinates(lines)
    fewer = sizes[one] < sizes[other]
    fine, coarse = np.where(fewer, other, one), np.where(fewer, one, other)
    shapely.prepare(lines)
    meet = shapely.intersects(lines[fine], lines[coarse])
    low, high = shapely.bounds(lines).reshape(-1, 2, 2).transpose(1, 0, 2)
    areas = (high - low).prod(axis=1)
    first = areas[one] >= areas[other]
    return Beside(np.where(first, one, other), np.where(first, other, one), meet, lines)
