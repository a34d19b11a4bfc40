"""Strokes as areas: SVG's own caps, joins and miter limit (SVG 2, section 13.5)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from ...plane.circles import chord_step
from ..limits import DEFAULTS, Limits
from .curves import Points, Polylines
from .dashing import dashed
from .filling import filled, filled_each, united

FINEST = 1e-7
"""Share of a line's largest coordinate within which two points are one: what a closing line of rounding errors spans.

Its direction means nothing, so it must not have corners of its own.
"""

CUSP = math.radians(30)
"""A turn inside a flattened curve sharper than this is a cusp, and is rounded; flattening leaves smaller ones."""

OpenLine = tuple[Points, NDArray[np.bool_]]
"""(n, 2) float points of an open line, and which of them lie inside a curve."""


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


def stroked(lines: Polylines, pen: Pen, limits: Limits = DEFAULTS) -> BaseGeometry:
    """Return the region that the pen covers along every subpath; a valid Polygon or MultiPolygon."""
    opened, looped, dots = _sorted_lines(lines, pen)
    # An open line is walked there and back, its caps being the joins where the walk turns round; a loop is walked
    # once each way. The edge to the left of every walk bounds the stroke, each part of it turning the same way.
    walks = [(np.vstack((points, points[-2:0:-1])), np.append(bends, bends[-2:0:-1])) for points, bends in opened]
    caps = [np.zeros(len(points), dtype=bool) for points, _ in walks]
    for cap, (points, _) in zip(caps, opened, strict=True):
        cap[[0, len(points) - 1]] = True
    for points, bends in looped:
        walks += [(points, bends), (points[::-1], bends[::-1])]
        caps += [np.zeros(len(points), dtype=bool)] * 2
    edges, slabs = _left_edges(walks, caps, pen)
    regions = filled_each(edges[: len(opened)], limits)
    regions += [filled(edges[at : at + 2], "nonzero", limits) for at in range(len(opened), len(edges), 2)]
    regions += slabs
    if pen.cap != "butt":
        regions += filled_each([_dot(point, pen) for point in dots])
    return united(regions, limits)


def _sorted_lines(lines: Polylines, pen: Pen) -> tuple[list[OpenLine], list[OpenLine], list[Points]]:
    """Return the subpaths as open lines (dashes among them), as loops, and as points where they have no length."""
    opened: list[OpenLine] = []
    looped: list[OpenLine] = []
    dots: list[Points] = []
    smooth_parts = np.split(lines.smooth, lines.starts[1:-1])
    for ring, closed, smooth in zip(lines.rings(), lines.closed, smooth_parts, strict=True):
        if len(ring) < 2 and not closed:
            continue  # a moveto alone is never stroked
        near = FINEST * np.abs(ring).max(initial=0.0)
        distinct = np.append(True, np.any(np.abs(np.diff(ring, axis=0)) > near, axis=1))
        points, bends = ring[distinct], smooth[distinct]
        if len(points) < 2:
            dots.append(points[0])
        elif pen.dashes:
            opened.extend(dashed(points, bends, bool(closed), pen.dashes, pen.dash_offset))
        elif not closed:
            opened.append((points, bends))
        else:
            same = bool((np.abs(points[0] - points[-1]) <= near).all())
            looped.append((points[:-1], bends[:-1]) if same else (points, bends))
    return opened, looped, dots


def _left_edges(
    walks: Sequence[OpenLine], caps: Sequence[NDArray[np.bool_]], pen: Pen
) -> tuple[list[Points], list[BaseGeometry]]:
    """Return, for each closed walk, the ring half the pen's width to its left; and slabs that the rings leave out.

    Every corner gives one or more points on rays from it: one where the edge has no break, the ends of a bevel, the
    steps of an arc. On the inner side of a turn whose legs are too short for the edges to cross, the ring keeps to the
    line itself, so that it does not tangle, and each leg's own rectangle covers what lies between.
    """
    if not walks:
        return [], []
    points = np.concatenate([points for points, _ in walks])
    lengths_of_walks = np.array([len(points) for points, _ in walks])
    ends = np.cumsum(lengths_of_walks)
    following = np.arange(1, len(points) + 1)
    following[ends - 1] = ends - lengths_of_walks
    previous = np.empty_like(following)
    previous[following] = np.arange(len(points))
    legs = points[following] - points
    lengths = np.hypot(legs[:, 0], legs[:, 1])
    after = legs / lengths[:, None]
    before = after[previous]
    corners = _Corners(before, after, lengths, following, previous)
    count, radius, first, last = _joins(
        corners, np.concatenate([bends for _, bends in walks]), np.concatenate(caps), pen
    )
    owner = np.repeat(np.arange(len(points)), count)
    place = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    share = first[owner] + (last - first)[owner] * place / np.maximum(count[owner] - 1, 1)
    angle = np.arctan2(before[:, 0], -before[:, 1])[owner] + corners.turn[owner] * share
    edge = points[owner] + radius[owner][:, None] * np.column_stack((np.cos(angle), np.sin(angle)))
    splits = np.cumsum(count)[ends - 1][:-1]
    if pen.join == "miter-clip":
        parts = np.split(edge, np.cumsum(count)[:-1])
        for corner in np.flatnonzero((count == 2) & (corners.turn < 0) & (corners.turn > -math.pi)):
            parts[corner] = _clipped_miter(parts[corner], points[corner], (before[corner], after[corner]), pen)
        edge = np.concatenate(parts)
        splits = np.cumsum([len(part) for part in parts])[ends - 1][:-1]
    short = (radius == 0) | (radius == 0)[following]
    sideways = pen.width / 2 * np.column_stack((-after[:, 1], after[:, 0]))[short]
    near, far = points[short], points[following][short]
    slabs = shapely.polygons(np.stack((near, far, far + sideways, near + sideways), axis=1))
    return np.split(edge, splits), list(slabs)


class _Corners:
    """What every corner of all walks needs: the legs that meet there, and how the walk turns."""

    def __init__(self, before: Points, after: Points, lengths: Any, following: Any, previous: Any) -> None:
        self.before, self.after, self.lengths, self.following, self.previous = (
            before,
            after,
            lengths,
            following,
            previous,
        )
        cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
        dot = (before * after).sum(axis=1)
        self.turn = np.arctan2(cross, dot)
        # A line that turns back on itself is joined on both sides alike.
        self.turn[(dot < 0) & (np.abs(cross) < 1e-9)] = -math.pi


def _joins(corners: _Corners, smooth: Any, caps: Any, pen: Pen) -> tuple[Any, Any, Any, Any]:
    """Return for every corner how many points the edge has there, their distance, and the shares of the turn.

    The points lie from the first to the last share of the turn, evenly. A distance of 0 keeps to the line itself.
    """
    half, turn = pen.width / 2, corners.turn
    bend = np.abs(turn)
    miter = half / np.maximum(np.cos(turn / 2), 1e-12)
    gentle = smooth & (bend < CUSP)
    count = np.ones(len(turn), dtype=np.intp)
    radius = np.where(gentle, half, miter)
    # On the inner side the edges of two legs cross this far along either leg, if the legs have the room.
    crossing = np.where(turn > 0, half * np.tan(np.minimum(bend, math.pi - 1e-9) / 2), 0.0)
    crowded = crossing + crossing[corners.following] > corners.lengths
    inner = (turn > 0) & (crowded | crowded[corners.previous])
    radius[inner] = 0.0
    outer = (turn < 0) & ~gentle
    arcs = np.where(caps, pen.cap == "round", outer & ((pen.join == "round") | smooth))
    count[arcs] = np.maximum(np.ceil(bend[arcs] / chord_step(half, pen.tolerance)), 1) + 1
    radius[arcs] = half
    # Miter length over stroke width is 1 / sin(half the angle between the legs) = 1 / cos(half the turn).
    too_long = miter > pen.miter_limit * half * (1 + 1e-12)
    cut = np.where(caps, pen.cap == "butt", outer & ~arcs & ((pen.join == "bevel") | too_long))
    count[cut], radius[cut] = 2, half
    square = caps & (pen.cap == "square")
    count[square], radius[square] = 2, half * math.sqrt(2)
    single = count == 1
    first = np.where(single, 0.5, np.where(square, 0.25, 0.0))
    return count, radius, first, np.where(single, 0.5, np.where(square, 0.75, 1.0))


def _clipped_miter(bevel: Points, corner: Points, legs: tuple[Points, Points], pen: Pen) -> Points:
    """Turn a bevel past the miter limit into a miter cut off at half the limit times the width (SVG 2, 13.5.5).

    ``bevel``: its two points. ``legs``: unit vectors along the line before and after the corner.
    """
    first, last = bevel
    before, after = legs
    middle = before - after
    bisector = middle / np.hypot(*middle)
    room = pen.miter_limit * pen.width / 2 - float(np.dot(first - corner, bisector))
    rise = float(np.dot(before, bisector))
    if room <= 0 or rise <= 1e-9:
        return bevel
    return np.array([first, first + before * (room / rise), last - after * (room / rise), last])


def _dot(point: Points, pen: Pen) -> Points:
    """Return what a subpath of no length leaves: a square along the axes, or a circle (SVG 2, section 13.5.4)."""
    half = pen.width / 2
    if pen.cap == "square":
        return point + half * np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)])
    count = max(8, math.ceil(2 * math.pi / chord_step(half, pen.tolerance)))
    angle = 2 * math.pi * np.arange(count) / count
    return point + half * np.column_stack((np.cos(angle), np.sin(angle)))
