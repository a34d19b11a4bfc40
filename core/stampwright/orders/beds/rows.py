"""Parts in rows by the boxes round them: what nesting falls back on, and is measured by."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ...plane.beds import in_rows, turned
from .parts import PartOutline, PartPlace, Room


def lay_in_rows(outlines: Sequence[PartOutline], room: Room) -> list[tuple[int, PartPlace]]:
    """Return on which bed, from 0, and where each outline stands: deep ones first, in rows, lying along them.

    ``outlines``: mm, each small enough for the bed.
    """
    boxes = [_lying(np.array(outline), room) for outline in outlines]
    order = sorted(range(len(boxes)), key=lambda number: -float(np.ptp(boxes[number][1][:, 1])))
    sizes = [np.ptp(boxes[number][1], axis=0) for number in order]
    spots = in_rows(sizes, (room.width, room.depth), room.clearance, room.margin)
    found: dict[int, tuple[int, PartPlace]] = {}
    for number, (bed, x, y) in zip(order, spots, strict=True):
        turn, points = boxes[number]
        low = points.min(axis=0)
        found[number] = bed, PartPlace(turn, x - float(low[0]), y - float(low[1]))
    return [found[number] for number in range(len(outlines))]


def _lying(points: NDArray[np.float64], room: Room) -> tuple[float, NDArray[np.float64]]:
    """Return an outline with its long side across, and by how much it was turned for that."""
    width, depth = np.ptp(points, axis=0)
    across, along = room.width - 2 * room.margin, room.depth - 2 * room.margin
    standing = depth > width and depth <= across and width <= along
    if standing or width > across or depth > along:
        return 90.0, turned(points, 90.0)
    return 0.0, points
