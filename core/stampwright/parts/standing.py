"""How the parts of a stamp stand: put together face down as in use, taken apart, or on the bed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from ..curved import Bend
from ..solids import Solid

Standing = Literal["use", "apart", "print"]

CLEAR = 8.0
"""Room between parts that are shown apart, mm."""


@dataclass(frozen=True)
class BedPose:
    """Where a part stands, mm: moved by ``x`` and ``z``, and first, if ``turned``, half round about the y axis.

    That half turn is a rotation: it takes the die frame, face up, to the paper frame, face down.
    """

    x: float
    z: float
    turned: bool


def stand(
    parts: Iterable[Solid], standing: Standing, *, seat: float, bend: Bend | None = None, axle: float = 0.0
) -> dict[str, BedPose]:
    """Return the pose of every part by name; the paper, or the bed, is at z = 0 with the base's middle at x = 0.

    ``parts``: solids named die, cushion, backing and handle, those that there are; ``seat``: how high over the
    backing's underside that which lies in it lies, mm, as :func:`~stampwright.parts.backing.seat_height` gives it.
    ``bend``: how the die is bent, None for a flat one; ``axle``: how high over a roller's fork its axle is, mm.
    """
    named = {solid.name: solid for solid in parts}
    if standing == "print":
        return _side_by_side(named)
    if bend is not None and standing == "use":
        return _about_axis(named, bend, axle)
    apart = CLEAR if standing == "apart" else 0.0
    poses = {}
    level = 2 * apart
    for solid in _those(named, "die", "cushion"):
        level += float(solid.bounds[1][2])
        poses[solid.name] = BedPose(0.0, level, turned=True)
        level += apart
    for solid in _those(named, "backing"):
        # In use the die, or the cushion under it, rests in the seat.
        level += float(solid.bounds[1][2]) if apart else seat
        poses[solid.name] = BedPose(0.0, level, turned=True)
        level += apart
    for solid in _those(named, "handle"):
        poses[solid.name] = BedPose(0.0, level, turned=False)
    return poses


def _about_axis(named: Mapping[str, Solid], bend: Bend, axle: float) -> dict[str, BedPose]:
    """Return the poses of a rocker's or roller's parts, the middle of the face on paper."""
    axis, poses = bend.outer, {}
    for solid in _those(named, "die"):
        poses[solid.name] = BedPose(0.0, axis + bend.lift, turned=True)
    for solid in _those(named, "backing"):
        # A rocker's stands on its plane, a roller's drum lies round the axis.
        under = float(solid.bounds[1][2]) / 2.0 if bend.closed else -bend.plane
        poses[solid.name] = BedPose(0.0, axis + under, turned=True)
    for solid in _those(named, "handle"):
        poses[solid.name] = BedPose(0.0, axis - (axle if bend.closed else bend.plane), turned=False)
    return poses


def _side_by_side(named: Mapping[str, Solid]) -> dict[str, BedPose]:
    poses = {}
    edge = None
    for solid in _those(named, "die", "backing", "handle", "cushion"):
        low, high = float(solid.bounds[0][0]), float(solid.bounds[1][0])
        x = 0.0 if edge is None else edge + CLEAR - low
        poses[solid.name] = BedPose(x, 0.0, turned=False)
        edge = x + high
    return poses


def _those(named: Mapping[str, Solid], *names: str) -> list[Solid]:
    return [named[name] for name in names if name in named]
