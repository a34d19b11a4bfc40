"""The foot of a flank: the face's outlines shifted outwards, corner by corner, and united where they meet."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from ...plane.filling import outline_rings
from ...plane.grid import GRID
from ...plane.overlays import common
from ..kernel import regions_from
from .outlines import Outlines, are_apart, cleaned, mended, on_grid, outline

FOOT_TOLERANCE = 0.01
"""How far the foot may stray, mm: a tenth of what a filament printer shows, and no print depends on it."""

CUT_STEP = 0.25
"""Spacing of points, mm, along an edge that cuts the foot, so that the flank there follows its true slope."""


@dataclass(frozen=True, eq=False)
class Foot:
    """A foot and how it came from the face.

    ``outlines``: the foot. ``corners``: (c,) those points of the face that were shifted, ``next_corner`` the one that
    follows in its ring. The shifted points, *raw* as long as they are not united, are numbered corner by corner:
    ``first`` and ``last`` (c,) of each corner, ``owner`` (r,) their corner, ``next_raw`` (r,) the next one of the
    ring, ``in_fan`` (r,) whether the edge to it goes round a convex corner, ``spot`` (r,) which point of the foot it
    became, or 0, ``met`` (r,) whether the edge to the next one is an edge of the foot. ``cut``: whether the foot left
    its room and was cut.
    """

    outlines: Outlines
    cut: bool
    corners: NDArray[np.int64]
    next_corner: NDArray[np.int64]
    first: NDArray[np.int64]
    last: NDArray[np.int64]
    owner: NDArray[np.int64]
    next_raw: NDArray[np.int64]
    in_fan: NDArray[np.bool_]
    spot: NDArray[np.int64]
    met: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class _Shifted:
    """Shifted outlines before they are united; fields as in :class:`Foot`."""

    points: NDArray[np.float64]
    starts: NDArray[np.int64]
    first: NDArray[np.int64]
    last: NDArray[np.int64]
    owner: NDArray[np.int64]
    in_fan: NDArray[np.bool_]


def draw_foot(face: Outlines, reach: float, room: Polygon | None = None) -> Foot:
    """Return the outlines of all that lies within ``reach`` mm of the face, cut to ``room`` where it leaves it.

    Corners are round outside: fans whose area is that of the true sector, so that areas and volumes are Steiner's.
    """
    keep = _bearing_points(face, min(FOOT_TOLERANCE, reach / 40))
    thinned = face.kept(keep)
    raw = _shift(thinned, reach)
    shifted = Outlines(raw.points, raw.starts)
    foot, cut = _united(shifted.rings(), room)
    spot, met = _matches(shifted, foot)
    return Foot(
        outlines=foot,
        cut=cut,
        corners=np.flatnonzero(keep),
        next_corner=thinned.following,
        first=raw.first,
        last=raw.last,
        owner=raw.owner,
        next_raw=shifted.following,
        in_fan=raw.in_fan,
        spot=spot,
        met=met,
    )


def _bearing_points(face: Outlines, tolerance: float) -> NDArray[np.bool_]:
    """Return which points of the face carry its form to ``tolerance`` mm (Douglas and Peucker 1973), ring by ring."""
    curves = shapely.simplify(face.curves, tolerance, preserve_topology=False)
    keep = np.isin(_keys(face.points), _keys(shapely.get_coordinates(curves)))
    keep[face.starts[:-1]] = True
    few = np.add.reduceat(keep, face.starts[:-1], dtype=np.int64) < 3
    if few.any():
        keep |= np.repeat(few, np.diff(face.starts))
    return keep


def _keys(points: NDArray[np.float64]) -> NDArray[np.int64]:
    """Return one whole number for each point on the grid."""
    whole = np.rint(points / GRID).astype(np.int64)
    keys: NDArray[np.int64] = (whole[:, 0] << 32) + whole[:, 1]
    return keys


def _shift(corners: Outlines, reach: float) -> _Shifted:
    """Shift outlines outwards: a convex corner becomes a fan, a flat one a point, one that is too tight turns back.

    Outwards is to the right of the ring's way. Where a concave corner takes more than its edges have, the shifted ring
    goes through the corner itself: what runs back there winds the wrong way round and vanishes on uniting.
    """
    edge = corners.points[corners.following] - corners.points
    length = np.hypot(edge[:, 0], edge[:, 1])
    direction = edge / length[:, None]
    before = direction[corners.previous]
    sine = before[:, 0] * direction[:, 1] - before[:, 1] * direction[:, 0]
    cosine = (before * direction).sum(axis=1)
    turn = np.arctan2(sine, cosine)
    mitred = np.cos(turn / 2) >= 1 / (1 + FOOT_TOLERANCE / reach)
    fan = (turn > 0) & ~mitred
    # A concave corner shortens both of its edges by this much, a mitred convex one lengthens them.
    taken = np.where(fan, 0.0, -reach * np.tan(np.clip(turn, -3.1, 3.1) / 2))
    too_short = taken + taken[corners.following] >= length
    tight = (turn < 0) & (too_short | too_short[corners.previous])
    largest = 2 * np.arccos(1 - min(FOOT_TOLERANCE / reach, 0.5))
    pieces = np.maximum(2, np.ceil(turn / largest).astype(np.int64))
    counts = np.where(fan, pieces + 1, np.where(tight, 3, 1))
    last = np.cumsum(counts) - 1
    first = last - counts + 1
    owner = np.repeat(np.arange(len(counts)), counts)
    step = np.arange(len(owner)) - first[owner]
    share = step / np.maximum(counts - 1, 1)[owner]
    at_end = (step == 0) | (step == counts[owner] - 1)
    turned = np.where(fan[owner] | tight[owner], share, 0.5) * turn[owner]
    radius = np.full(len(owner), reach)
    middle = fan[owner] & ~at_end
    radius[middle] = _fan_radius(turn, pieces, reach)[owner[middle]]
    single = ~(fan | tight)[owner]
    radius[single] = reach / np.cos(turn[owner[single]] / 2)
    radius[tight[owner] & ~at_end] = 0.0
    # The outward normal of the edge before, (dy, -dx), turned on.
    x, y = before[owner, 1], -before[owner, 0]
    spread = np.column_stack((x * np.cos(turned) - y * np.sin(turned), x * np.sin(turned) + y * np.cos(turned)))
    return _Shifted(
        points=on_grid(corners.points[owner] + spread * radius[:, None]),
        starts=np.append(first[corners.starts[:-1]], len(owner)),
        first=first,
        last=last,
        owner=owner,
        in_fan=fan[owner] & (step < counts[owner] - 1),
    )


def _fan_radius(turn: NDArray[np.float64], pieces: NDArray[np.int64], reach: float) -> NDArray[np.float64]:
    """Return the radius of a fan's inner points that gives its triangles together the area of the sector.

    With m triangles of angle t, the outer two sharing an edge of length ``reach`` = R, area demands
    sin t (2 R r + (m - 2) r²) = R² m t.
    """
    angle = turn / pieces
    with np.errstate(invalid="ignore", divide="ignore"):
        wanted = reach**2 * turn / np.sin(angle)
        inner = pieces - 2
        several = (np.sqrt(reach**2 + inner * wanted) - reach) / np.where(inner > 0, inner, 1)
        radius: NDArray[np.float64] = np.where(inner > 0, several, wanted / (2 * reach))
    return radius


def _united(rings: list[NDArray[np.float64]], room: Polygon | None) -> tuple[Outlines, bool]:
    united = [on_grid(ring) for ring in outline_rings(rings, "positive")]
    foot = cleaned(Outlines(np.concatenate(united), np.cumsum([0] + [len(ring) for ring in united])))
    leaves = room is not None and not shapely.contains_properly(room, shapely.multilinestrings(foot.curves))
    if not leaves and are_apart(foot):
        return foot, False
    region = regions_from(united)
    if leaves:
        region = shapely.segmentize(common(mended(region), room), CUT_STEP)
    return outline(region, "the foot of the relief", keep_straight=leaves), leaves


def _matches(shifted: Outlines, foot: Outlines) -> tuple[NDArray[np.int64], NDArray[np.bool_]]:
    """Return which foot point each shifted point became (0 if none), and whether its edge is one of the foot's."""
    foot_keys, keys = _keys(foot.points), _keys(shifted.points)
    order = np.argsort(foot_keys)
    spot = order[np.minimum(np.searchsorted(foot_keys, keys, sorter=order), len(order) - 1)]
    found = foot_keys[spot] == keys
    spot = np.where(found, spot, 0)
    after = spot[shifted.following]
    met = found & found[shifted.following] & (foot.following[spot] == after)
    return spot, met
