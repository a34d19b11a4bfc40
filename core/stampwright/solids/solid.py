"""A solid as data: a closed, outward-facing triangle mesh."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed triangle mesh in printing position: it stands on z = 0.

    ``vertices``: (n, 3) float64, mm. ``triangles``: (m, 3) int32 indices, counter-clockwise seen from outside.
    """

    name: str
    vertices: NDArray[np.float64]
    triangles: NDArray[np.int32]

    @property
    def volume(self) -> float:
        """Volume from the triangles, mm³, by the divergence theorem; computed about the middle to keep digits."""
        corners = (self.vertices - self.vertices.mean(axis=0))[self.triangles]
        return float(np.einsum("ij,ij->", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])) / 6.0)

    @property
    def area(self) -> float:
        """Surface area, mm²."""
        corners = self.vertices[self.triangles]
        normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
        return float(np.linalg.norm(normals, axis=1).sum() / 2.0)

    @property
    def bounds(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Lowest and highest corner of the box that holds the solid, two (3,) arrays, mm."""
        return self.vertices.min(axis=0), self.vertices.max(axis=0)
