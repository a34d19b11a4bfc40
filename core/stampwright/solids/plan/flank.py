"""The flank of a relief: from the face's outlines down to a foot that stands out by the same reach everywhere.

Seen from above, the flank fills the strip between the face's outlines and the foot's. A point of it is as far below the
face as its distance from the face demands, so that neighbouring flanks meet in a valley half-way.

Most of the strip is plain: an edge of the face, the same edge shifted outwards, and the corner fans between such pairs.
Only where flanks run into each other does the strip need a search: there it is triangulated as a whole, turned into
Delaunay's triangulation, and every diagonal that bridges two points of equal height gets a point in its middle at the
depth that its distance from the face demands.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from ...errors import SolidError
from ...plane.chains import Chains
from .delaunay import turned_with_twins
from .filling import fill_rings, turning
from .foot import Foot, draw_foot
from .outlines import Outlines, are_apart, follow_rings


@dataclass(frozen=True, eq=False)
class Flank:
    """A flank seen from above.

    ``face``: its inner outlines, with points added where long edges border a valley. ``foot``: its outer outlines.
    ``valley``: (v, 2) points between, mm. ``distance``: (f + v,) distance of foot points and valley points from the
    face, mm. ``triangles``: (m, 3), counter-clockwise; numbers count the face's points first, then the foot's, then
    the valley's. ``cut``: whether the foot left the room that it had and was cut there.
    """

    face: Outlines
    foot: Outlines
    valley: NDArray[np.float64]
    distance: NDArray[np.float64]
    triangles: NDArray[np.int64]
    cut: bool


def raise_flank(face: Outlines, reach: float, room: Polygon | None = None) -> Flank:
    """Return the flank whose foot stands ``reach`` mm out from the face, cut to ``room`` where it leaves it."""
    foot = draw_foot(face, reach, room)
    points = np.concatenate((face.points, foot.outlines.points))
    plain, border = _plain_cells(face, foot, points)
    longer = _long_edges(face, border, reach)
    if len(longer):
        divided = face.divided(longer, reach / 2)
        if are_apart(divided):
            face = divided
            foot = draw_foot(face, reach, room)
            points = np.concatenate((face.points, foot.outlines.points))
            plain, border = _plain_cells(face, foot, points)
    try:
        rest, valley, depth = _fill_rest(face, points, border)
    except SolidError:
        # Rounding can make cells overlap where flanks meet in all but a point; the strip as a whole has none.
        plain = plain[:0]
        rest, valley, depth = _fill_rest(face, points, _whole_border(face, foot.outlines))
    outer = np.full(len(foot.outlines.points), reach)
    if foot.cut:
        outer = np.minimum(distance_from(face, foot.outlines.points), reach)
    return Flank(
        face=face,
        foot=foot.outlines,
        valley=valley,
        distance=np.concatenate((outer, depth)),
        triangles=np.concatenate((plain, rest)),
        cut=foot.cut,
    )


def _long_edges(face: Outlines, border: NDArray[np.int64], reach: float) -> NDArray[np.int64]:
    """Return the edges of the face, by where they start, that are too long to follow a valley beside them."""
    start = border[(border < len(face.points)).all(axis=1), 1]
    edge = face.points[face.following[start]] - face.points[start]
    long: NDArray[np.int64] = start[np.hypot(edge[:, 0], edge[:, 1]) > reach]
    return long


def _whole_border(face: Outlines, foot: Outlines) -> NDArray[np.int64]:
    """Return the directed edges, (e, 2), of the whole strip: the foot's, and the face's run backwards."""
    count = len(face.points)
    outer = np.column_stack((count + np.arange(len(foot.points)), count + foot.following))
    return np.concatenate((outer, np.column_stack((face.following, np.arange(count)))))


def distance_from(face: Outlines, points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the distance of ``points``, (n, 2) mm, from the nearest outline of the face."""
    return Chains.of(face.points, face.points[face.following]).distances(points)


def _plain_cells(
    face: Outlines, foot: Foot, points: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the triangles of all cells that need no search, and the directed edges, (e, 2), of what they leave open.

    A cell is plain when its outer edges are edges of the foot and all of its triangles turn counter-clockwise.
    """
    before = np.empty_like(foot.next_corner)
    before[foot.next_corner] = np.arange(len(before))
    sides = _side_cells(face, foot, points)
    fans = _fan_cells(foot, len(face.points), points, beside=sides.free | sides.free[before])
    plain = np.concatenate((sides.along[sides.free[sides.of]], sides.across[sides.free], fans.triangles[fans.taken]))
    return plain.astype(np.int64), _open_edges(face, foot, sides, fans, before).astype(np.int64)


@dataclass(frozen=True, eq=False)
class _Sides:
    """The cells beside the face's edges, one a corner: its edges up to the next corner, and the foot's beside them.

    ``start``: (c,) the foot's point where each begins. ``of``: (n,) the cell of each edge of the face. ``along``:
    (n, 3) triangles on the face's edges, ``across``: (c, 3) on the foot's. ``free``: (c,) whether it needs no search.
    """

    start: NDArray[np.int64]
    of: NDArray[np.int64]
    along: NDArray[np.int64]
    across: NDArray[np.int64]
    free: NDArray[np.bool_]


def _side_cells(face: Outlines, foot: Foot, points: NDArray[np.float64]) -> _Sides:
    count, corner = len(face.points), foot.corners
    start, end = foot.spot[foot.last], foot.spot[foot.first[foot.next_corner]]
    steps = np.diff(np.append(corner, count))
    side_of = np.repeat(np.arange(len(corner)), steps)
    place = np.arange(count) - corner[side_of]
    apex = np.where(place >= steps[side_of] // 2, end[side_of], start[side_of])
    along = np.column_stack((face.following, np.arange(count), count + apex))
    across = np.column_stack((count + start, count + end, corner + steps // 2))
    free = foot.met[foot.last] & (turning(points, across) > 0)
    free[side_of[turning(points, along) <= 0]] = False
    return _Sides(start, side_of, along, across, free)


@dataclass(frozen=True, eq=False)
class _Fans:
    """The cells round convex corners.

    ``triangles``: (f, 3), one for each of the foot's edges that is ``in_fan``; ``taken``: (f,) whether it is of a plain
    fan. ``there``, ``free``: (c,) whether a corner has a fan, and one that needs no search.
    """

    triangles: NDArray[np.int64]
    taken: NDArray[np.bool_]
    there: NDArray[np.bool_]
    free: NDArray[np.bool_]


def _fan_cells(foot: Foot, count: int, points: NDArray[np.float64], *, beside: NDArray[np.bool_]) -> _Fans:
    """Return the fans; ``beside``: (c,) whether a corner has a plain side beside it.

    A fan without one is left to the search, which then meets every point of the face once only.
    """
    edge, owner = foot.in_fan, foot.owner[foot.in_fan]
    triangles = np.column_stack((count + foot.spot, count + foot.spot[foot.next_raw], foot.corners[foot.owner]))[edge]
    fine = foot.met[edge] & (turning(points, triangles) > 0)
    there = np.zeros(len(foot.corners), dtype=bool)
    there[owner] = True
    free = there & beside
    free[owner[~fine]] = False
    return _Fans(triangles, free[owner], there, free)


def _open_edges(face: Outlines, foot: Foot, sides: _Sides, fans: _Fans, before: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return what stays open: outlines beside no plain cell, and spokes with a plain cell on one side only."""
    count, corner = len(face.points), foot.corners
    taken = np.zeros(len(foot.outlines.points), dtype=bool)
    taken[sides.start[sides.free]] = True
    taken[foot.spot[foot.in_fan & fans.free[foot.owner]]] = True
    foot_from = np.flatnonzero(~taken)
    face_from = np.flatnonzero(~sides.free[sides.of])
    left = sides.free[before]
    whole = fans.there | (foot.first != foot.last)
    beyond_first = np.where(whole, fans.free, sides.free)
    before_last = np.where(whole, fans.free, left)
    return np.concatenate(
        (
            np.column_stack((count + foot_from, count + foot.outlines.following[foot_from])),
            np.column_stack((face.following[face_from], face_from)),
            _spokes(corner, count + foot.spot[foot.first], left, beyond_first),
            _spokes(corner[whole], count + foot.spot[foot.last][whole], before_last[whole], sides.free[whole]),
        )
    )


def _spokes(
    inner: NDArray[np.int64], outer: NDArray[np.int64], left: NDArray[np.bool_], right: NDArray[np.bool_]
) -> NDArray[np.int64]:
    """Return spokes, directed with the open side on their left, where only the cell to one side is plain."""
    return np.concatenate(
        (
            np.column_stack((inner, outer))[left & ~right],
            np.column_stack((outer, inner))[right & ~left],
        )
    )


def _fill_rest(
    face: Outlines, points: NDArray[np.float64], border: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
    """Fill what the plain cells leave open; returns triangles, valley points (v, 2) and their distances (v,)."""
    if not len(border):
        return np.empty((0, 3), dtype=np.int64), np.empty((0, 2)), np.empty(0)
    face_count = len(face.points)
    order, sizes = _as_rings(border, len(points))
    numbered, twin = turned_with_twins(points[order], fill_rings(points[order], sizes))
    triangles = order[numbered]
    corner, after = triangles.reshape(-1), triangles[:, [1, 2, 0]].reshape(-1)
    half = np.flatnonzero(twin > np.arange(len(twin)))
    bridging = half[(corner[half] < face_count) == (after[half] < face_count)]
    if not len(bridging):
        return triangles, np.empty((0, 2)), np.empty(0)
    valley = (points[corner[bridging]] + points[after[bridging]]) / 2
    opposite = triangles[:, [2, 0, 1]].reshape(-1)
    around = np.stack((corner[bridging], opposite[bridging], opposite[twin[bridging]]), axis=1)
    middle = np.full(len(twin), -1, dtype=np.int64)
    middle[bridging] = middle[twin[bridging]] = len(points) + np.arange(len(bridging))
    return _split(triangles, middle.reshape(-1, 3)), valley, _depths(face, points, valley, around)


def _depths(
    face: Outlines, points: NDArray[np.float64], valley: NDArray[np.float64], around: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Return the distance of valley points, (v, 2), from the face; ``around``: (v, 3) numbers of points near each."""
    chains = Chains.of(face.points, face.points[face.following])
    away = points[around] - valley[:, None]
    reach = np.where(around < len(face.points), np.hypot(away[..., 0], away[..., 1]), np.inf).min(axis=1)
    bounded = np.isfinite(reach)
    depths = np.empty(len(valley))
    depths[bounded] = chains.distances_within(valley[bounded], reach[bounded])
    depths[~bounded] = chains.distances(valley[~bounded])
    return depths


def _as_rings(border: NDArray[np.int64], count: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Chain directed edges, of which one leaves each point, into rings: their points in order, and ring sizes."""
    edge_from = np.empty(count, dtype=np.int64)
    edge_from[border[:, 0]] = np.arange(len(border))
    order, sizes = follow_rings(edge_from[border[:, 1]])
    return border[order, 0], sizes


def _split(triangles: NDArray[np.int64], middle: NDArray[np.int64]) -> NDArray[np.int64]:
    """Split triangles at the middle points of their sides; ``middle``: (m, 3) point numbers, -1 for a whole side."""
    divided = (middle >= 0).sum(axis=1)
    # Turn each triangle so that the one divided side comes first, or the one whole side last.
    lead = np.where(divided == 2, (np.argmin(middle, axis=1) + 1) % 3, np.argmax(middle >= 0, axis=1))
    turn = (lead[:, None] + np.arange(3)) % 3
    a, b, c = np.take_along_axis(triangles, turn, axis=1).T
    ab, bc, ca = np.take_along_axis(middle, turn, axis=1).T
    none, one, two, three = (divided == k for k in range(4))

    def taken(which: NDArray[np.bool_], *corners: NDArray[np.int64]) -> NDArray[np.int64]:
        return np.column_stack([corner[which] for corner in corners])

    return np.concatenate(
        (
            taken(none, a, b, c),
            taken(one, a, ab, c),
            taken(one, ab, b, c),
            taken(two, ab, b, bc),
            taken(two, a, ab, bc),
            taken(two, a, bc, c),
            taken(three, ab, b, bc),
            taken(three, bc, c, ca),
            taken(three, ca, a, ab),
            taken(three, ab, bc, ca),
        )
    )
