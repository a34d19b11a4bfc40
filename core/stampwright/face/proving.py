"""The proof of a textured surface: a die as it was read back, seen from above, against the maps that shaped it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from ..plane.frames import die_to_paper
from ..solids.above import seen_from_above
from ..solids.solid import Solid
from .dense import HAIR, DenseDie, settled_heights
from .face_map import untouched
from .textures.graining import samples_within

MOST_OFF = 0.005
"""How far a written surface may lie off its map, mm: a fortieth of a usual layer, a hundred times a file's rounding."""

_IN_FROM_EDGE = 2.5
"""Steps from the outlines from which on samples are points of the face, so that nothing is read between points."""


@dataclass(frozen=True)
class SurfaceProof:
    """How far a written surface lies off its maps: at how many points, the farthest, mm, and where, mm on paper."""

    points: int
    worst: float
    at: tuple[float, float]

    @property
    def holds(self) -> bool:
        """Whether the surface is what was asked for."""
        return self.points > 0 and self.worst <= MOST_OFF


def prove_surface(die: Solid, dense: DenseDie, face: MultiPolygon) -> SurfaceProof:
    """Compare a die's surface, as it was read from its file, with the maps of ``dense``.

    ``face``: the outlines of the face, mm, paper frame. All vertices of the face are compared, and samples all over its
    inside, where the surface is seen from above as paper sees it.
    """
    vertices = die_to_paper(die.vertices)
    vertices[:, 2] -= float(np.float32(dense.top))
    foot = -dense.depth - HAIR / 2
    on_face = vertices[:, 2] > foot
    held = untouched(face.bounds, dense.spacing)
    triangles = die.triangles[on_face[die.triangles].all(axis=1)].astype(np.int64)
    seen = seen_from_above(held.steps(vertices[:, :2]), vertices[:, 2], triangles, held.heights.shape)
    inner = shapely.buffer(face, -_IN_FROM_EDGE * dense.spacing)
    inside = samples_within(inner, held).reshape(-1)
    places = np.concatenate((vertices[on_face, :2], held.samples[inside]))
    found = np.concatenate((vertices[on_face, 2], seen.reshape(-1)[inside]))
    off = np.abs(found - settled_heights(places, dense.depth, dense.grain, dense.sculpt))
    if not len(off):
        return SurfaceProof(0, 0.0, (0.0, 0.0))
    worst = int(np.argmax(off))
    return SurfaceProof(len(off), float(off[worst]), (float(places[worst, 0]), float(places[worst, 1])))
