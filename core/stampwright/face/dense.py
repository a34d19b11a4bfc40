"""A die whose face is an even, dense surface that height maps shape, with everything else as it was."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..plane.frames import die_to_paper
from ..solids.plan.even import whole_step
from ..solids.relief import FACE, FLANK, FLOOR, REST, UPRIGHT, ReliefHeights, lay_relief
from ..solids.solid import Solid
from .face_map import FaceHeights, FaceMap, Points

SET_NAMES = ("face", "upright edge", "flank", "floor", "rest")
"""What the sets of triangles are called, by number."""

HAIR = 0.01
"""How far the upright edge goes on below the deepest texture, mm, so that no part of it comes to nothing."""

__all__ = ["FACE", "FLANK", "FLOOR", "HAIR", "REST", "SET_NAMES", "UPRIGHT", "DenseDie", "raise_dense"]


@dataclass(frozen=True, eq=False)
class DenseDie:
    """A die with a dense face.

    ``solid``: the die, die frame. ``movable``: (n,) bool, the vertices of the face, those on its edge too; the others
    never move. ``sets``: (m,) int8, for each triangle which set it belongs to. ``squares``: how many of the face's
    triangles, the first ones, are halves of squares whose corners lie on whole ``spacing``, mm, from the origin.
    ``top``: height of the untouched face over the bed, mm. ``depth``: how far the face may go down, mm, at most.
    ``floor``: height of the floor over the bed, mm. ``grain``, ``sculpt``: the maps that the face bears, together.
    """

    solid: Solid
    movable: NDArray[np.bool_]
    sets: NDArray[np.int8]
    squares: int
    spacing: float
    top: float
    depth: float
    floor: float
    grain: FaceMap | None = None
    sculpt: FaceMap | None = None

    @property
    def places(self) -> Points:
        """Where the face's vertices are, (k, 2) mm, paper frame, in the order of the vertices."""
        return die_to_paper(self.solid.vertices[self.movable, :2])

    def bearing(self, grain: FaceMap | None, sculpt: FaceMap | None) -> DenseDie:
        """Return the same die with its face shaped by these maps, added up and kept between ``-depth`` and 0.

        Nothing but the height of the face's vertices changes, and never so far that the upright edge comes to nothing:
        a sound die stays sound.
        """
        vertices = self.solid.vertices.copy()
        heights = settled_heights(self.places, self.depth, grain, sculpt)
        vertices[self.movable, 2] = (np.float32(self.top) + heights).astype(np.float32)
        return replace(self, solid=replace(self.solid, vertices=vertices), grain=grain, sculpt=sculpt)


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
    upright = replace(heights, face=min(heights.face, heights.top - depth - HAIR))
    step = whole_step(spacing)
    laid = lay_relief(face, base, upright, shoulder=shoulder, name=name, step=step)
    return DenseDie(
        solid=laid.solid,
        movable=laid.on_face,
        sets=laid.sets,
        squares=laid.squares,
        spacing=step,
        top=heights.top,
        depth=depth,
        floor=heights.floor,
    )


def settled_heights(places: Points, depth: float, *maps: FaceMap | None) -> FaceHeights:
    """Return the sum of maps at ``places``, (n, 2) mm, paper frame, kept between ``-depth`` and 0: (n,) mm."""
    heights: FaceHeights = np.zeros(len(places), dtype=np.float32)
    for each in maps:
        if each is not None:
            heights += each.at(places)
    return np.clip(heights, np.float32(-depth), np.float32(0.0), out=heights)
