"""How the parts of a stamp stand: put together face down as in use, taken apart, or on the bed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from .backing import seat_height

if TYPE_CHECKING:
    from ..stamp import Stamp

Standing = Literal["use", "apart", "print"]

CLEAR = 8.0
"""Room between parts that are shown apart, mm."""


@dataclass(frozen=True)
class Pose:
    """Where a part stands, mm: moved by ``x`` and ``z``, and first, if ``turned``, half round about the y axis.

    That half turn is a rotation: it takes the die frame, face up, to the paper frame, face down.
    """

    x: float
    z: float
    turned: bool


def stand(stamp: Stamp, standing: Standing) -> dict[str, Pose]:
    """Return the pose of every part by name; the paper, or the bed, is at z = 0 with the base's middle at x = 0."""
    if standing == "print":
        return _side_by_side(stamp)
    apart = CLEAR if standing == "apart" else 0.0
    poses = {}
    level = 2 * apart
    for solid in (stamp.die, stamp.cushion):
        if solid is not None:
            level += float(solid.bounds[1][2])
            poses[solid.name] = Pose(0.0, level, turned=True)
            level += apart
    if stamp.backing is not None:
        # In use the die, or the cushion under it, rests in the seat.
        level += float(stamp.backing.bounds[1][2]) if apart else seat_height(stamp.job)
        poses[stamp.backing.name] = Pose(0.0, level, turned=True)
        level += apart
    if stamp.handle is not None:
        poses[stamp.handle.name] = Pose(0.0, level, turned=False)
    return poses


def _side_by_side(stamp: Stamp) -> dict[str, Pose]:
    poses = {}
    edge = None
    for solid in (stamp.die, stamp.backing, stamp.handle, stamp.cushion):
        if solid is None:
            continue
        low, high = float(solid.bounds[0][0]), float(solid.bounds[1][0])
        x = 0.0 if edge is None else edge + CLEAR - low
        poses[solid.name] = Pose(x, 0.0, turned=False)
        edge = x + high
    return poses
