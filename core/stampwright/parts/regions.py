"""What each triangle of a die belongs to, and how high each point lies, for other programs to go on from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..curved import Bend
from ..face import FACE, FLANK, FLOOR, REST, UPRIGHT, relief_heights
from ..job import Job
from ..solids import Solid

REGIONS = ("face", "shoulder", "floor", "side")
"""Names of the regions, in the order of their numbers; the side goes round the floor and under the die."""

_FACE, _SHOULDER, _FLOOR, _SIDE = range(len(REGIONS))

_LEVEL = 1e-4
"""Points within this of a height lie at it, mm; layers are many times as high."""

_OF_SETS = {FACE: _FACE, UPRIGHT: _SHOULDER, FLANK: _SHOULDER, FLOOR: _FLOOR, REST: _SIDE}


@dataclass(frozen=True, eq=False)
class DieRegions:
    """What the triangles of a die belong to, (m,) int32 in :data:`REGIONS`, and heights over its floor, (n,) mm.

    ``outwards``: of a bent die the way in which the heights of its points grow, (n, 3), of length one; else None.
    """

    regions: NDArray[np.int32]
    heights: NDArray[np.float64]
    outwards: NDArray[np.float64] | None = None


_OUTWARDS = 0.5
"""Least cosine between a triangle of a textured face and the way out of it: its outline stands upright."""


def mark_regions(job: Job, die: Solid, sets: NDArray[np.int8] | None = None, bend: Bend | None = None) -> DieRegions:
    """Return the regions of a die, die frame, as it was built for a job.

    ``sets``: of a flat die with a textured face, what its triangles belong to, as
    :class:`~stampwright.face.DenseDie` says; of others it is read off their heights. ``bend``: how the die is bent,
    None for a flat one; heights are then radial.
    """
    levels = relief_heights(job.die, job.backing, job.printer.layer)
    heights = heights_over_floor(job, die, bend)
    if sets is not None:
        table = np.array([_OF_SETS[each] for each in range(len(_OF_SETS))], dtype=np.int32)
        return DieRegions(table[sets], heights)
    outwards = None if bend is None else _away_from_axis(die.vertices, bend)
    corners = heights[die.triangles]
    low, high = corners.min(axis=1), corners.max(axis=1)
    regions = np.full(len(die.triangles), _SIDE, dtype=np.int32)
    regions[(low > -_LEVEL) & (high < _LEVEL)] = _FLOOR
    regions[high > _LEVEL] = _SHOULDER
    least = levels.top - levels.floor - _LEVEL
    if bend is None or (job.face.texture == "none" and not job.face.sculpt):
        regions[low > least] = _FACE
    else:
        regions[(low > least - job.face.depth) & (_outwards(die, bend) > _OUTWARDS)] = _FACE
    return DieRegions(regions, heights, outwards)


def heights_over_floor(job: Job, die: Solid, bend: Bend | None = None) -> NDArray[np.float64]:
    """Return how high each point of a die, die frame, lies over its floor, (n,) mm; of a bent one radially."""
    flat = die.vertices if bend is None else bend.flat_again(die.vertices, "lying")
    return flat[:, 2] - relief_heights(job.die, job.backing, job.printer.layer).floor


def _away_from_axis(places: NDArray[np.float64], bend: Bend) -> NDArray[np.float64]:
    ways = bend.round_axis(places, "lying") * (1.0, 0.0, 1.0)
    return bend.turned_back(ways / np.maximum(np.linalg.norm(ways, axis=1, keepdims=True), 1e-30))


def _outwards(die: Solid, bend: Bend) -> NDArray[np.float64]:
    """Return for each triangle of a bent die the cosine between its normal and the way from the axis, (m,) float."""
    corners = bend.round_axis(die.vertices, "lying")[die.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    ways = corners.mean(axis=1) * (1.0, 0.0, 1.0)
    lengths = np.linalg.norm(normals, axis=1) * np.linalg.norm(ways, axis=1)
    cosines: NDArray[np.float64] = np.einsum("ij,ij->i", normals, ways) / np.maximum(lengths, 1e-30)
    return cosines
