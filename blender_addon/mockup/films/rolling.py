"""The way of a rocker or roller over the paper, frame by frame, for the press film."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ...stampwright.curved import Bend
from ...stampwright.stamp import Stamp
from ..staging import MM

DOWN, ROLLED, UP, BACK = 0.16, 0.62, 0.74, 0.92
"""When the stamp touches, has rolled to its other end, is up again, and is back over where it began, as shares."""


@dataclass(frozen=True)
class RollingPlace:
    """Where a rolling stamp is at a frame: how far its group is moved, m, and turned, radians about x, y and z.

    A rocker turns as a whole, of a roller what goes round its axle.
    """

    frame: int
    moved: tuple[float, float, float]
    turned: tuple[float, float, float]


def way_of(stamp: Stamp, bend: Bend, frames: int, lift: float) -> Iterator[RollingPlace]:
    """Yield where a stamp is at every frame: set down on one end of its print, rolled to the other, and lifted.

    The frame after the last is the first again. The group that moves stands with the middle of the face on paper, at
    its own origin. ``lift``: m.
    """
    left, bottom, right, top = stamp.inked.bounds
    low, high = (bottom, top) if bend.upward else (left, right)
    for frame in range(1, frames + 2):
        share = (frame - 1) / frames
        rolled = _eased((share - DOWN) / (ROLLED - DOWN)) - _eased((share - UP) / (BACK - UP))
        height = lift * (1.0 - _eased(share / DOWN) + _eased((share - ROLLED) / (UP - ROLLED)))
        yield _rolled_to(frame, low + rolled * (high - low), height, bend)


def middle_frame(frames: int) -> int:
    """Return the frame at which the stamp is half-way over its print, and hides most of it."""
    return 1 + round((DOWN + ROLLED) / 2.0 * frames)


def _rolled_to(frame: int, along: float, height: float, bend: Bend) -> RollingPlace:
    """Return the place of a stamp whose face touches at ``along``, mm, lifted by ``height``, m, over that."""
    angle = along / bend.radius
    # The axis goes straight on at its height; a rocker's origin, below it at first, swings round it.
    aside = along if bend.closed else along - bend.outer * math.sin(angle)
    up = 0.0 if bend.closed else bend.outer * (1.0 - math.cos(angle))
    if bend.upward:
        return RollingPlace(frame, (0.0, aside * MM, up * MM + height), (-angle, 0.0, 0.0))
    return RollingPlace(frame, (aside * MM, 0.0, up * MM + height), (0.0, angle, 0.0))


def _eased(share: float) -> float:
    """Return a share from 0 to 1 that starts and ends gently."""
    held = min(1.0, max(0.0, share))
    return held * held * (3.0 - 2.0 * held)
