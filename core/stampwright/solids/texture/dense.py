"""A die whose face is an even, dense surface that a height map can shape, with everything else as it was."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..relief import ReliefHeights
from ..types import Solid
from .face_map import FaceMap

FACE, UPRIGHT, FLANK, FLOOR, REST = range(5)
"""The sets of a die's triangles: its face, the upright edge below the face, the flanks under it, the floor round them,
and the rest: sides and underside."""

SET_NAMES = ("face", "upright edge", "flank", "floor", "rest")


@dataclass(frozen=True, eq=False)
class DenseDie:
    """A die with a dense face.

    ``solid``: the die, die frame. ``movable``: (n,) bool, the vertices of the face, those on its edge too; the others
    never move. ``sets``: (m,) int8, for each triangle which set it belongs to. ``spacing``: of the face's points, mm.
    ``top``: height of the untouched face over the bed, mm. ``depth``: how far the face may go down, mm, at most.
    ``floor``: height of the floor over the bed, mm. ``grain``, ``sculpt``: the maps that the face bears, together.
    """

    solid: Solid
    movable: NDArray[np.bool_]
    sets: NDArray[np.int8]
    spacing: float
    top: float
    depth: float
    floor: float
    grain: FaceMap | None = None
    sculpt: FaceMap | None = None

    def bearing(self, grain: FaceMap | None, sculpt: FaceMap | None) -> DenseDie:
        """Return the same die with its face shaped by these maps, added up and kept between ``-depth`` and 0."""
        raise NotImplementedError


def raise_dense(
    face: Polygon | MultiPolygon,
    base: Polygon,
    heights: ReliefHeights,
    *,
    depth: float,
    shoulder: float,
    spacing: float,
    name: str,
) -> DenseDie:
    """Return a floor with a relief on it whose face is dense and untouched; arguments as for ``raise_relief``.

    ``depth``: how deep, mm, the face will bear texture; the relief is upright below the face by a hair more than
    that, so that texture runs out to the edge. ``spacing``: of the face's points, mm. Raises :class:`SolidError` as
    ``raise_relief`` does, and when there would be too many points.
    """
    raise NotImplementedError
