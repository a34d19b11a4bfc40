"""Where things lie round a stamp: of several ways the one that shows them largest, and the places for an ink pad."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import mathutils
import numpy as np

from .. import poses
from .framing import CameraView, standpoint

if TYPE_CHECKING:
    from bpy.types import Object

PAD_GAP = 0.012
"""Room between an ink pad and what it lies beside, m."""

PREFERRED = 0.04
"""Share by which a way must show things larger than one that is named before it."""


@dataclass(frozen=True)
class Grouping:
    """One way to group things: ``places``, what is moved and its pose, (4, 4) float; ``corners``, (n, 3), of all."""

    places: tuple[tuple[Object, Any], ...]
    corners: Any


def choose(ways: Sequence[Grouping], view: CameraView, shape: float) -> Grouping:
    """Return the way in which a picture shows things largest, and lay them so.

    ``shape``: width over height of the picture. Those named first are taken where others are hardly better.
    """
    far = [standpoint(view, shape, way.corners)[2] - float((way.corners @ view.axes[:, 2]).mean()) for way in ways]
    chosen = ways[min(range(len(ways)), key=lambda at: far[at] * (1.0 + PREFERRED * (at > 0)))]
    for placed, pose in chosen.places:
        place(placed, pose)
    return chosen


def place(placed: Any, pose: Any) -> None:
    """Put something on the stage in a pose, (4, 4) float, m."""
    placed.matrix_basis = mathutils.Matrix(pose.tolist())


def with_pad(
    groupings: Sequence[Grouping],
    pad: Object | None,
    behind: tuple[Callable[[Grouping], tuple[float, float]], float],
    clear: tuple[CameraView, Any],
) -> list[Grouping]:
    """Return groupings with an ink pad in each, behind at the right, or in front, along or across; as they are without.

    ``behind``: a function from a grouping to where the middle of the pad's front edge lies behind it, m, and how it is
    turned, degrees. ``clear``: from where it is seen, and the corners of the stamp, (n, 3) float, which the pad is seen
    clear of at its right: outlines that touch take the depth out of a picture.
    """
    if pad is None:
        return list(groupings)
    at, turn = behind
    view, body = clear
    poses_in = [
        (each, pose)
        for each in groupings
        for pose in (
            _behind(box_of(pad), at(each), turn, view, body),
            *(_in_front(box_of(pad), degrees, view, each.corners) for degrees in (-turn / 2.0, 90.0 - turn / 2.0)),
        )
    ]
    return [
        Grouping((*each.places, (pad, pose)), np.vstack([each.corners, poses.placed(pose, box_of(pad))]))
        for each, pose in poses_in
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
        yield Grouping(((pad, pose),), np.vstack([rows, poses.placed(pose, box_of(pad))]))


def box_of(pad: Object) -> Any:
    """Return the corners of an ink pad, (n, 3) float, m, its own frame."""
    return np.array([corner[:] for each in (pad, *pad.children) for corner in each.bound_box])


def middle(points: Any, axis: int) -> float:
    """Return the middle of points along an axis."""
    return float(points[:, axis].min() + points[:, axis].max()) / 2.0


def _behind(box: Any, at: tuple[float, float], turn: float, view: CameraView, body: Any) -> Any:
    """Return the pose of a box with the middle of its front edge at a place, and so far right that it is seen clear."""
    turned, right = poses.turned("z", turn), view.axes[:, 0]
    pose = poses.moved(at[0], at[1] - float(poses.placed(turned, box)[:, 1].min()), 0.0) @ turned
    apart = PAD_GAP + float((body @ right).max() - (poses.placed(pose, box) @ right).min())
    return poses.moved(*(max(apart, 0.0) * right)) @ pose


def _in_front(box: Any, turn: float, view: CameraView, corners: Any) -> Any:
    """Return the pose of a box before all corners, as it is seen, and so far that its height hides none of them."""
    towards, turned = poses.turned("z", view.azimuth), poses.turned("z", turn)
    own, seen = poses.placed(np.linalg.inv(towards), corners), poses.placed(turned, box)
    gap = PAD_GAP + float(np.ptp(box[:, 2])) / math.tan(math.radians(view.elevation))
    move = poses.moved(middle(own, 0), float(own[:, 1].min() - seen[:, 1].max()) - gap, 0.0)
    return towards @ move @ turned
