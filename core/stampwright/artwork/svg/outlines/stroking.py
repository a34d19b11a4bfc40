"""Strokes as areas: SVG's own caps, joins and miter limit (SVG 2, section 13.5)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from .curves import Points, Polylines
from .dashing import dashed
from .filling import NOTHING, filled

CUSP = math.radians(30)
"""A turn inside a flattened curve sharper than this is a cusp, and is rounded; flattening leaves smaller ones."""


@dataclass(frozen=True, kw_only=True)
class Pen:
    """How a stroke is drawn; lengths in the outline's units.

    ``cap``: butt, round or square. ``join``: miter, miter-clip, round or bevel. ``dashes``: lengths drawn and left out
    in turn, empty for none. ``tolerance``: how far the straight pieces of a round cap or join may stray.
    """

    width: float
    cap: str = "butt"
    join: str = "miter"
    miter_limit: float = 4.0
    dashes: tuple[float, ...] = ()
    dash_offset: float = 0.0
    tolerance: float = 0.005


def stroked(lines: Polylines, pen: Pen) -> BaseGeometry:
    """Return the region that the pen covers along every subpath; a valid Polygon or MultiPolygon."""
    regions = []
    for ring, closed, smooth in zip(
        lines.rings(), lines.closed, np.split(lines.smooth, lines.starts[1:-1]), strict=True
    ):
        if not pen.dashes:
            regions.append(_stroked_line(ring, smooth, bool(closed), pen))
        else:
            regions.extend(
                _stroked_line(part, bends, False, pen)
                for part, bends in dashed(ring, smooth, bool(closed), pen.dashes, pen.dash_offset)
            )
    regions = [region for region in regions if not region.is_empty]
    if not regions:
        return NOTHING
    return regions[0] if len(regions) == 1 else shapely.union_all(np.array(regions, dtype=object))


def _stroked_line(points: Points, smooth: NDArray[np.bool_], closed: bool, pen: Pen) -> BaseGeometry:
    half = pen.width / 2
    if len(points) < 2 and not closed:
        return NOTHING  # a moveto alone is never stroked
    distinct = np.append(True, np.any(points[1:] != points[:-1], axis=1))
    points, smooth = points[distinct], smooth[distinct]
    if closed and len(points) > 1 and np.array_equal(points[0], points[-1]):
        points, smooth = points[:-1], smooth[:-1]
    if len(points) < 2:
        return filled([_dot(points[0], half, pen)], "nonzero") if pen.cap != "butt" else NOTHING
    if closed:
        sides = [_left_side(points, smooth, True, half, pen), _left_side(points[::-1], smooth[::-1], True, half, pen)]
        return filled(sides, "nonzero")
    ring = (
        _left_side(points, smooth, False, half, pen),
        _cap(points[-1], points[-1] - points[-2], half, pen),
        _left_side(points[::-1], smooth[::-1], False, half, pen),
        _cap(points[0], points[0] - points[1], half, pen),
    )
    return filled([np.concatenate(ring)], "nonzero")


def _left_side(points: Points, smooth: NDArray[np.bool_], closed: bool, half: float, pen: Pen) -> Points:
    """Return the edge of the stroke to the left of the line, joins included.

    Every corner gives one or more points on rays from it: one where the edge has no break, the ends of a bevel, the
    steps of an arc; on the inner side of a turn that leaves no room for a crossing of the edges, the edge goes through
    the corner itself, so that the winding number stays right whatever overlaps.
    """
    legs = np.diff(points, axis=0, append=points[:1])
    lengths = np.hypot(legs[:, 0], legs[:, 1])
    after, before = legs / lengths[:, None], np.roll(legs / lengths[:, None], 1, axis=0)
    if not closed:
        after[-1], before[0] = before[-1], after[0]
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    dot = (before * after).sum(axis=1)
    turn = np.arctan2(cross, dot)
    # A line that turns back on itself is joined on both sides alike.
    turn[(dot < 0) & (np.abs(cross) < 1e-9)] = -math.pi
    count, radius = _joins(turn, lengths, smooth, half, pen)
    owner = np.repeat(np.arange(len(points)), count)
    place = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    share = np.where(count[owner] == 1, 0.5, place / np.maximum(count[owner] - 1, 1))
    angle = np.arctan2(before[:, 0], -before[:, 1])[owner] + turn[owner] * share
    reach = np.where((radius[owner] == 0) & (place != 1), half, radius[owner])
    edge: Points = points[owner] + reach[:, None] * np.column_stack((np.cos(angle), np.sin(angle)))
    if pen.join == "miter-clip":
        at = np.flatnonzero((count == 2) & (turn < 0))
        parts = np.split(edge, np.cumsum(count)[:-1])
        for corner in at:
            parts[corner] = _clipped_miter(parts[corner], points[corner], (before[corner], after[corner]), pen)
        return np.concatenate(parts)
    return edge


def _joins(turn: Any, lengths: Any, smooth: NDArray[np.bool_], half: float, pen: Pen) -> tuple[Any, Any]:
    """Return for every corner how many points the edge has there and how far they lie from it.

    A distance of 0 stands for an edge that goes through the corner itself, between two points at half the width.
    """
    bend = np.abs(turn)
    with np.errstate(divide="ignore"):
        miter = half / np.maximum(np.cos(turn / 2), 1e-12)
    gentle = smooth & (bend < CUSP)
    count = np.ones(len(turn), dtype=np.intp)
    radius = np.where(gentle, half, miter)
    # On the inner side the edges of two legs cross this far along either leg, if the legs have the room.
    crossing = np.where(turn > 0, half * np.tan(np.minimum(bend, math.pi - 1e-9) / 2), 0.0)
    crowded = crossing + np.roll(crossing, -1) > lengths
    inner = (turn > 0) & (crowded | np.roll(crowded, 1))
    count[inner], radius[inner] = 3, 0.0
    outer = (turn < 0) & ~gentle
    round_join = outer & ((pen.join == "round") | smooth)
    count[round_join] = np.maximum(np.ceil(bend[round_join] / _arc_step(half, pen.tolerance)), 1) + 1
    radius[round_join] = half
    # Miter length over stroke width is 1 / sin(half the angle between the legs) = 1 / cos(half the turn).
    broken = outer & ~round_join & ((pen.join == "bevel") | (miter > pen.miter_limit * half * (1 + 1e-12)))
    count[broken], radius[broken] = 2, half
    return count, radius


def _clipped_miter(bevel: Points, corner: Points, legs: tuple[Points, Points], pen: Pen) -> Points:
    """Turn a bevel past the miter limit into a miter cut off at half the limit times the width (SVG 2, 13.5.5).

    ``bevel``: its two points. ``legs``: unit vectors along the line before and after the corner.
    """
    first, last = bevel
    before, after = legs
    middle = before - after
    size = np.hypot(*middle)
    bisector = middle / size if size > 0 else before
    room = pen.miter_limit * pen.width / 2 - float(np.dot(first - corner, bisector))
    rise = float(np.dot(before, bisector))
    if room <= 0 or rise <= 1e-9:
        return bevel
    return np.array([first, first + before * (room / rise), last - after * (room / rise), last])


def _arc_step(half: float, tolerance: float) -> float:
    """Return the greatest turn whose chord stays within the tolerance of an arc of radius ``half``, rad."""
    return 2 * math.acos(max(1 - tolerance / half, 0.5)) if half > 0 else math.pi


def _cap(end: Points, leaving: Points, half: float, pen: Pen) -> Points:
    """Return the points that a cap adds between the left and the right edge; ``leaving`` points out of the line."""
    along = leaving / np.hypot(*leaving)
    left = np.array([-along[1], along[0]])
    if pen.cap == "square":
        return np.array([end + half * (left + along), end + half * (along - left)])
    if pen.cap == "round":
        count = max(2, math.ceil(math.pi / _arc_step(half, pen.tolerance)))
        angle = math.atan2(left[1], left[0]) - math.pi * np.arange(1, count) / count
        return end + half * np.column_stack((np.cos(angle), np.sin(angle)))
    return np.empty((0, 2))


def _dot(point: Points, half: float, pen: Pen) -> Points:
    """Return what a subpath of no length leaves: a square along the axes, or a circle (SVG 2, section 13.5.4)."""
    if pen.cap == "square":
        return point + half * np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
    count = max(8, math.ceil(2 * math.pi / _arc_step(half, pen.tolerance)))
    angle = 2 * math.pi * np.arange(count) / count
    return point + half * np.column_stack((np.cos(angle), np.sin(angle)))
