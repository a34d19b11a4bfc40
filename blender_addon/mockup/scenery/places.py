"""Where things lie round a stamp: of several ways the one that shows them largest, and the places for an ink pad."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING, Any

import mathutils
import numpy as np
from shapely import MultiPoint

from .. import poses
from .framing import CameraView, standpoint

if TYPE_CHECKING:
    from bpy.types import Object

PAD_GAP = 0.012
"""Room between an ink pad and what it lies beside, m."""

CLEAR = 0.003
"""Least room between outlines that are seen clear of each other, as seen one unit from the camera: 0.7 % of the
picture's width."""

BACK = (1.0, 1.25, 1.6)
"""How far back a pad may lie behind everything, as shares of what is enough to be seen whole from afar."""

PREFERRED = 0.04
"""Share by which a way must show things larger than one that is named before it."""


@dataclass(frozen=True, eq=False)
class Grouping:
    """One way to group things.

    ``places``: what is moved and its pose, (4, 4) float. ``corners``: of all that is in the picture, (n, 3) float, m;
    ``shown``: of what the picture is of, stamps and sheets, the same. ``pad``: of an ink pad that is seen clear of each
    of ``things``, whose outlines are not to touch its own in the picture; none, where nothing can hide it.
    """

    places: tuple[tuple[Object, Any], ...]
    corners: Any
    shown: Any
    pad: Any = None
    things: tuple[Any, ...] = ()

    def and_pad(self, pad: Object, pose: Any) -> Grouping:
        """Return this with an ink pad in a pose, (4, 4) float, m."""
        box = poses.placed(pose, box_of(pad))
        return replace(self, places=(*self.places, (pad, pose)), corners=np.vstack([self.corners, box]), pad=box)


def choose(ways: Sequence[Grouping], view: CameraView, shape: float, preferred: float = PREFERRED) -> Grouping:
    """Return the way in which a picture shows what it is of largest, and lay things so.

    ``shape``: width over height of the picture. The first is taken unless another shows things larger by a share of
    ``preferred``; those in which something hides the pad, or the other way round, only where there is
    no other.
    """
    ways = [way for way in ways if way.pad is None or _is_pad_clear(way, view, shape)] or ways
    far = [standpoint(view, shape, way.corners)[2] - float((way.shown @ view.axes[:, 2]).mean()) for way in ways]
    chosen = ways[min(range(len(ways)), key=lambda at: far[at] * (1.0 + preferred * (at > 0)))]
    lay(chosen)
    return chosen


def are_clear(things: Sequence[Any], way: Grouping, view: CameraView, shape: float) -> bool:
    """Whether no outlines of things all but touch, each (n, 3) float, m, where a camera sees all of a way."""
    stands = standpoint(view, shape, way.corners)
    outlines = [_outline(points, view, stands) for points in things]
    return not any(one.distance(other) < CLEAR for one, other in combinations(outlines, 2))


def lay(way: Grouping) -> None:
    """Put things on the stage as a way has them."""
    for placed, pose in way.places:
        placed.matrix_basis = mathutils.Matrix(pose.tolist())


def with_pad(
    groupings: Sequence[Grouping],
    pad: Object | None,
    behind: tuple[Callable[[Grouping], tuple[float, float]], float],
    clear: tuple[CameraView, Any],
    *,
    back: bool = False,
    end: bool = True,
) -> list[Grouping]:
    """Return groupings with an ink pad in each, as they are where there is none.

    It lies behind at the right, in front, along or across, with ``end`` at the end of the row, or with ``back`` farther
    back over everything. ``behind``: a function from a grouping to where the middle of the pad's front edge lies behind
    it, m, and how it is turned, degrees. ``clear``: from where it is seen, and the corners of the stamp, (n, 3) float,
    which the pad is seen clear of, as of the sheets: outlines that touch take the depth out of a picture.
    """
    if pad is None:
        return list(groupings)
    at, turn = behind
    view, body = clear
    box = box_of(pad)
    return [
        each.and_pad(pad, pose)
        for each in groupings
        for pose in (
            _behind(box, at(each), turn, view, body),
            *([_at_the_end(box, -turn, view, each.corners)] if end else ()),
            *(at_the_back(box, turn / 2.0, view, each.corners, share) for share in BACK if back),
            *(_in_front(box, degrees, view, each.corners) for degrees in (-turn / 2.0, 90.0 - turn / 2.0)),
        )
    ]


def beside_rows(pad: Object, rows: Any) -> Iterator[Grouping]:
    """Yield ways with an ink pad under and right of rows that are seen from above, (n, 3) float."""
    for turn, side in ((4.0, "under"), (86.0, "right")):
        turned = poses.turned("z", turn)
        box = poses.placed(turned, box_of(pad))
        if side == "under":
            x, y = middle(rows, 0), float(rows[:, 1].min() - box[:, 1].max()) - PAD_GAP
        else:
            x, y = float(rows[:, 0].max() - box[:, 0].min()) + PAD_GAP, middle(rows, 1)
        pose = poses.moved(x, y, 0.0) @ turned
        yield Grouping(((pad, pose),), np.vstack([rows, poses.placed(pose, box_of(pad))]), rows)


def in_rows(blocks: Sequence[Any], columns: int, gap: float) -> list[Any]:
    """Return the moves by which blocks come to lie in rows of so many, as seen from above, the first row at the back.

    ``blocks``: the corners of each, (n, 3) float, m; ``gap``: between them, m.
    """
    moves: list[Any] = []
    level = 0.0
    for first in range(0, len(blocks), columns):
        row = blocks[first : first + columns]
        widths = [float(np.ptp(points[:, 0])) for points in row]
        tall = max(float(np.ptp(points[:, 1])) for points in row)
        left = -(sum(widths) + gap * (len(row) - 1)) / 2.0
        for width, points in zip(widths, row, strict=True):
            moves.append(poses.moved(left - points[:, 0].min(), level - tall / 2.0 - middle(points, 1), 0.0))
            left += width + gap
        level -= tall + gap
    return moves


def box_of(pad: Object) -> Any:
    """Return the corners of an ink pad, (n, 3) float, m, its own frame."""
    return np.array([corner[:] for each in (pad, *pad.children) for corner in each.bound_box])


def middle(points: Any, axis: int) -> float:
    """Return the middle of points along an axis."""
    return float(points[:, axis].min() + points[:, axis].max()) / 2.0


def _is_pad_clear(way: Grouping, view: CameraView, shape: float) -> bool:
    return all(are_clear((way.pad, each), way, view, shape) for each in way.things)


def _outline(points: Any, view: CameraView, stands: Any) -> Any:
    """Return the outline of points as a camera sees them that stands there, along its right, up and back."""
    seen = points @ view.axes - stands
    return MultiPoint(seen[:, :2] / -seen[:, 2:]).convex_hull


def _behind(box: Any, at: tuple[float, float], turn: float, view: CameraView, body: Any) -> Any:
    """Return the pose of a box with the middle of its front edge at a place, and so far right that it is seen clear."""
    turned, right = poses.turned("z", turn), view.axes[:, 0]
    pose = poses.moved(at[0], at[1] - float(poses.placed(turned, box)[:, 1].min()), 0.0) @ turned
    apart = PAD_GAP + float((body @ right).max() - (poses.placed(pose, box) @ right).min())
    return poses.moved(*(max(apart, 0.0) * right)) @ pose


def _at_the_end(box: Any, turn: float, view: CameraView, corners: Any) -> Any:
    """Return the pose of a box right of all corners, as it is seen, its middle as far from the camera as theirs."""
    towards, turned = poses.turned("z", view.azimuth), poses.turned("z", turn)
    own, seen = poses.placed(np.linalg.inv(towards), corners), poses.placed(turned, box)
    move = poses.moved(float(own[:, 0].max() - seen[:, 0].min()) + PAD_GAP, middle(own, 1) - middle(seen, 1), 0.0)
    return towards @ move @ turned


def at_the_back(box: Any, turn: float, view: CameraView, corners: Any, share: float = 1.0) -> Any:
    """Return the pose of a box behind all corners, as it is seen, and so far that none of them hides any of it.

    ``share``: how much of what is enough as seen from afar; from near, what is behind comes lower in the picture.
    """
    towards, turned = poses.turned("z", view.azimuth), poses.turned("z", turn)
    own, seen = poses.placed(np.linalg.inv(towards), corners), poses.placed(turned, box)
    sin, cos = math.sin(math.radians(view.elevation)), math.cos(math.radians(view.elevation))
    # Along what is up in the picture.
    gap = float((own[:, 1] * sin + own[:, 2] * cos).max() - (seen[:, 1] * sin + seen[:, 2] * cos).min()) / sin
    return towards @ poses.moved(middle(own, 0) - middle(seen, 0), share * gap + PAD_GAP, 0.0) @ turned


def _in_front(box: Any, turn: float, view: CameraView, corners: Any) -> Any:
    """Return the pose of a box before all corners, as it is seen, and so far that its height hides none of them."""
    towards, turned = poses.turned("z", view.azimuth), poses.turned("z", turn)
    own, seen = poses.placed(np.linalg.inv(towards), corners), poses.placed(turned, box)
    gap = PAD_GAP + float(np.ptp(box[:, 2])) / math.tan(math.radians(view.elevation))
    move = poses.moved(middle(own, 0), float(own[:, 1].min() - seen[:, 1].max()) - gap, 0.0)
    return towards @ move @ turned
