"""A solid as data: a closed, outward-facing triangle mesh."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ..plane.beds import box_of
from .columns import columns_of, crossed, lengths_of, normals_of, taken
from .soundness import Soundness, judge_merged, merge_equal


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed triangle mesh in printing position: it stands on z = 0.

    ``vertices``: (n, 3) float64, mm. ``triangles``: (m, 3) int32 indices, counter-clockwise seen from outside.
    """

    name: str
    vertices: NDArray[np.float64]
    triangles: NDArray[np.int32]

    @cached_property
    def merged(self) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
        """The mesh as a file holds it: vertices, (k, 3), that 32-bit floats tell apart, and triangles, (m, 3)."""
        return merge_equal(self.vertices, self.triangles)

    @cached_property
    def soundness(self) -> Soundness:
        """What there is to say of the mesh as a file holds it."""
        return judge_merged(*self.merged)

    @cached_property
    def volume(self) -> float:
        """Volume from the triangles, mm³, by the divergence theorem; computed about the middle to keep digits."""
        about = columns_of(self.vertices - self.vertices.mean(axis=0))
        first, second, third = (taken(about, self.triangles[:, corner]) for corner in range(3))
        return sum(float((a * n).sum()) for a, n in zip(first, crossed(second, third), strict=True)) / 6.0

    @cached_property
    def area(self) -> float:
        """Surface area, mm²."""
        return float(lengths_of(normals_of(self.vertices, self.triangles)).sum() / 2.0)

    @cached_property
    def bounds(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lowest and highest corner of the box that holds the solid, two (3,) arrays, mm."""
        return box_of(self.vertices)
