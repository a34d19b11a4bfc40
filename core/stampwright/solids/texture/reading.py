"""Reading a sculpt back: a height map of what brushes left, seen from above, and what of it had to be settled."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...findings import Finding
from .dense import DenseDie
from .face_map import FaceMap


@dataclass(frozen=True, eq=False)
class Sculpt:
    """What was sculpted.

    ``map``: the sculpt without the grain that the face bore, settled: what undercut, folded over, rose above the face
    or sank too deep is as it prints and leaves the paper. ``settled``: where that changed something, mm, paper frame.
    ``findings``: what was changed, by kind, with place and area.
    """

    map: FaceMap
    settled: MultiPolygon
    findings: tuple[Finding, ...]


def read_sculpt(dense: DenseDie, vertices: NDArray[np.float64]) -> Sculpt:
    """Return what was sculpted on a dense die.

    ``vertices``: (n, 3) mm, die frame, in the order of ``dense.solid.vertices``, as brushes left them, x and y moved
    too. Where no vertex of a triangle was moved, the map stays as it was, to the bit; what ``dense.sculpt`` holds
    outside of the face stays too. Raises :class:`SolidError` when the count of vertices is another.
    """
    raise NotImplementedError
