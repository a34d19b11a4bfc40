"""Tips: where broad ink comes to a point, told by what a disc leaves of it, however rough its outline is.

Middle lines see the two flanks of a point, where these face each other. Flanks that were traced from pixels are steps:
pieces of them face each other here and there, as the sides of a line do. What is left when discs of the limit
have filled the ink shows the point as a whole.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..plane.chains import Chains
from ..plane.nearness import chained_outlines
from ..plane.overlays import in_each, without
from .widths.edges import MEASURING_ERROR
from .widths.middles import join_lines
from .widths.places import LONGEST_TAPER, NarrowPlace

_ROUND = 4
"""Chords of a quarter turn of the discs."""

_ROUND_IN_STEPS = 6
"""Chords of a quarter turn where discs are drawn in by steps, of which each rounds anew what the one before it did."""

_STEPS = (0.25, 0.25, 0.5)
"""Shares of their radius by which discs are drawn in, one after the other: what is rough is smooth after the first."""

_NEAR = 0.003
"""What is left touches what discs fill where it is nearer to it than this, mm."""

_ROUGH = 4.0
"""Turns to and fro that an outline makes at least where it is rough: what follows pixels makes half a one at each step,
and a smooth one few (an S one, a star of five points two)."""

_HAIR = 1e-4
"""What discs fill is taken from ink with so much more all round, mm: less than anything here is told by."""

_MOUTH = 0.6
"""A point opens at least this share of the limit wide: what is narrower all along is a line."""

_POINTED = (0.32, 0.72)
"""Shares of the area of a line as wide as its mouth, and as long, that a point has. Beyond a disc a triangle has 0.4 to
0.5, and as pixels a little less or more; a hairline that runs into a bracket has less."""

_SHORT = 0.75
"""What joins broad ink broadly and reaches no further beyond it than this many limits is no line, whatever its form."""

_LONG = 2.0
"""A point this many limits long is a corner no more: see the rule on tapers beside WIDEST_TAPER."""


def gathered_tips(
    inked: MultiPolygon, places: Sequence[NarrowPlace], limit: float, longest: float = LONGEST_TAPER
) -> tuple[list[NarrowPlace], list[NarrowPlace]]:
    """Return places narrower than ``limit`` mm that are no tips, and those that are, gathered to one for each tip.

    The length of a gathered place is that of the whole tip; places longer than ``longest`` limits are not looked at.
    """
    doubtful = [place for place in places if place.length <= longest * limit]
    if not doubtful:
        return list(places), []
    tips, solid = _left_by_discs(inked, doubtful, limit)
    if not len(tips):
        return list(places), []
    spots = shapely.points([place.at for place in doubtful])
    place_of, tip_of = shapely.STRtree(tips).query(spots, predicate="dwithin", distance=2 * MEASURING_ERROR)
    outline, _ = chained_outlines(solid)
    reaches = {int(tip): _reach_of_point(tips[tip], outline, limit) for tip in np.unique(tip_of)}
    held = {int(place): int(tip) for place, tip in zip(place_of, tip_of, strict=True) if reaches[int(tip)]}
    for tip in [tip for tip, reach in reaches.items() if reach >= _LONG * limit]:
        members = [place for place, its in held.items() if its == tip]
        # A long one that comes to no point is a line that swells.
        if members and min(doubtful[place].narrowest for place in members) >= limit / 4:
            held = {place: its for place, its in held.items() if its != tip}
    others = {id(doubtful[place]) for place in held}
    by_tip = groupby(sorted(held, key=lambda place: held[place]), key=lambda place: held[place])
    gathered = [_as_one([doubtful[place] for place in members], reaches[tip]) for tip, members in by_tip]
    return [place for place in places if id(place) not in others], gathered


def _left_by_discs(
    inked: MultiPolygon, places: Sequence[NarrowPlace], limit: float
) -> tuple[NDArray[np.object_], NDArray[np.object_]]:
    """Return what discs of the limit leave of the ink near places, (n,) polygons, and what they fill, (m,)."""
    bounds = np.array([place.lines.bounds for place in places]) + 2 * limit * np.array([-1, -1, 1, 1])
    parts = shapely.get_parts(inked)
    hit = np.unique(shapely.STRtree(parts).query(shapely.box(*bounds.T), predicate="intersects")[1])
    hit = hit[_turns_to_and_fro(parts[hit]) >= _ROUGH]
    if not len(hit):
        return parts[:0], parts[:0]
    near, radius = parts[hit], (limit - MEASURING_ERROR) / 2
    # Part by part: of all at once, every outline would be looked at along with all others. And a hair more than discs
    # fill: along edges that are nearly the same the kernel takes ten times as long.
    solid = shapely.buffer(_shrunk(near, radius), radius + _HAIR, quad_segs=_ROUND)
    left = shapely.get_parts(shapely.get_parts(in_each(without, near, solid)))
    return left[shapely.area(left) > (limit / 16) ** 2], solid


def _shrunk(regions: NDArray[np.object_], radius: float) -> NDArray[np.object_]:
    """Return where discs of a radius, mm, fit into regions, (n,).

    In steps: the kernel crosses the inset of every edge with those of all others that lie as near as it reaches.
    """
    for share in _STEPS:
        regions = shapely.buffer(regions, -share * radius, quad_segs=_ROUND_IN_STEPS)
    return regions


def _turns_to_and_fro(parts: NDArray[np.object_]) -> NDArray[np.float64]:
    """Return how many whole turns the outlines of parts, (n,), make beyond those that close them, (n,)."""
    rings, owner = shapely.get_rings(parts, return_index=True)
    points, ring = shapely.get_coordinates(rings, return_index=True)
    steps = np.diff(points, axis=0)
    turns = np.diff(np.arctan2(steps[:, 1], steps[:, 0]))
    turns = (turns + np.pi) % (2 * np.pi) - np.pi
    turns[ring[2:] != ring[:-2]] = 0.0
    all_told, closing = (np.bincount(ring[1:-1], each, minlength=len(rings)) for each in (np.abs(turns), turns))
    beyond = (all_told - np.abs(closing)) / (2 * np.pi)
    return np.bincount(owner, beyond, minlength=len(parts)).astype(np.float64)


def _reach_of_point(left: shapely.Geometry, solid: Chains, limit: float) -> float:
    """Return how far what discs left reaches beyond what they filled, mm, if it is a point of that, otherwise 0.

    A point joins broad ink once, broadly, and tapers.
    """
    if left.geom_type != "Polygon" or len(left.interiors) or not len(solid.starts):
        return 0.0
    corners = shapely.get_coordinates(left.exterior)
    joins = solid.distances((corners[:-1] + corners[1:]) / 2) <= _NEAR
    lengths = np.hypot(*np.diff(corners, axis=0).T)
    runs = np.cumsum(joins & ~np.roll(joins, 1))
    along = np.bincount(np.where(runs == 0, runs.max(), runs)[joins], lengths[joins]) if joins.any() else np.zeros(1)
    if np.count_nonzero(along > limit / 4) != 1:
        return 0.0
    ends = corners[:-1][joins], corners[1:][joins]
    mouth = float(shapely.minimum_rotated_rectangle(shapely.MultiPoint(np.concatenate(ends))).length) / 2
    reach = float(solid.distances(corners).max())
    if mouth < _MOUTH * limit or reach > LONGEST_TAPER * limit:
        return 0.0
    least, most = _POINTED
    is_point = least <= left.area / max(mouth * reach, 1e-12) <= most
    return reach if is_point or reach <= _SHORT * limit else 0.0


def _as_one(places: list[NarrowPlace], reach: float) -> NarrowPlace:
    lines, sources = join_lines([place.lines for place in places]), [place.sources for place in places]
    return NarrowPlace(lines, np.concatenate(sources), places[0].limit, mouths=1, reach=reach)
