"""The face of a stamp: which region of a mesh touches paper, as exact outlines."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...plane.overlays import all_joined
from ...plane.regions import filled_parts
from ...plane.rings import bounded_by
from ...solids.plan.outlines import follow_rings

Points = NDArray[np.float64]
Indices = NDArray[np.int64]


def flat_top(points: Points, triangles: Indices) -> MultiPolygon:
    """Return the region that flat triangles cover, its outline being the edges that no second triangle shares.

    ``points``: (n, 2) float, mm; ``triangles``: (m, 3) int into them, counter-clockwise seen from the side looked at.
    Triangles that overlap or do not meet edge to edge are united one by one instead, which is slower. An empty
    MultiPolygon comes back for no triangles.
    """
    starts, ends = triangles.ravel(), triangles[:, (1, 2, 0)].ravel()
    keys = _edge_keys(starts, ends, len(points))
    order = np.argsort(keys, kind="stable")
    differs = np.concatenate(([True], keys[order][1:] != keys[order][:-1], [True]))
    outer = order[differs[:-1] & differs[1:]]
    region = region_of_edges(points, starts[outer], ends[outer])
    covered = _signed_area(points, triangles)
    if region is not None and abs(region.area - covered) <= 1e-6 * abs(covered):
        return region
    whole = shapely.polygons(points[triangles])
    return filled_parts(all_joined(whole[shapely.area(whole) > 0]))


def section(vertices: Points, triangles: Indices, height: float) -> MultiPolygon | None:
    """Return what a closed mesh covers just above the level ``height``, seen from above.

    ``vertices``: (n, 3) float, mm; ``triangles``: (m, 3) int, counter-clockwise seen from outside. None comes back when
    the cut does not close into outlines: the mesh is open there, or passes through itself.
    """
    above = vertices[:, 2] > height
    one, two, three = (above[triangles[:, corner]] for corner in range(3))
    cut = triangles[(one != two) | (two != three)]
    if not len(cut):
        return MultiPolygon()
    # One corner of a cut triangle lies alone on its side of the level; the two edges that leave it are crossed.
    flags = above[cut]
    lone = np.argmax(flags == (flags.sum(axis=1) == 1)[:, None], axis=1)
    each = np.arange(len(cut))
    alone, following, before = (cut[each, (lone + step) % 3] for step in range(3))
    keys = np.concatenate([_edge_keys(alone, following, len(vertices)), _edge_keys(alone, before, len(vertices))])
    crossed, crossing = np.unique(keys, return_inverse=True)
    to_following, to_before = crossing[: len(cut)], crossing[len(cut) :]
    rising = above[alone]
    low, high = vertices[crossed // len(vertices)], vertices[crossed % len(vertices)]
    share = (height - low[:, 2]) / (high[:, 2] - low[:, 2])
    # Just so at both ends: edges that are crossed in a corner they share are crossed in one place.
    points = low[:, :2] * (1.0 - share)[:, None] + high[:, :2] * share[:, None]
    return region_of_edges(points, np.where(rising, to_following, to_before), np.where(rising, to_before, to_following))


def region_of_edges(points: Points, starts: Indices, ends: Indices) -> MultiPolygon | None:
    """Return the region that directed edges enclose, covered ground on their left.

    ``points``: (n, 2) float, mm; ``starts`` and ``ends``: (m,) int into them. None comes back when the edges do not
    close into rings, or the rings cross.
    """
    following = _following_edges(points, starts, ends)
    if following is None:
        return None
    numbers, sizes = _simple_rings(starts, following)
    if not len(numbers):
        return MultiPolygon()
    ring_of = np.repeat(np.arange(len(sizes)), sizes)
    places, ring_of = _without_repeats(points[numbers], ring_of)
    enough = np.bincount(ring_of, minlength=len(sizes)) > 2
    kept = enough[ring_of]
    if not kept.any():
        return MultiPolygon()
    ends = np.cumsum(np.bincount(ring_of[kept], minlength=len(sizes))[enough])
    return bounded_by(np.split(places[kept], ends[:-1]))


def _following_edges(points: Points, starts: Indices, ends: Indices) -> Indices | None:
    """Return for each edge the one that goes on from its end, or None where edges leave a gap.

    Where several edges meet in one point, each goes on along the other side of the covered wedge that it bounds: the
    next ray clockwise from the one it came by.
    """
    by_start = np.argsort(starts, kind="stable")
    sorted_starts = starts[by_start]
    if not np.array_equal(sorted_starts, np.sort(ends)):
        return None
    following = by_start[np.searchsorted(sorted_starts, ends)]
    shared = sorted_starts[1:][sorted_starts[1:] == sorted_starts[:-1]]
    return _parted_ways(points, starts, ends, following, shared) if len(shared) else following


def _parted_ways(points: Points, starts: Indices, ends: Indices, following: Indices, shared: Indices) -> Indices | None:
    """Return ``following`` put right at the ``shared`` points; None where covered wedges overlap."""
    arriving = np.flatnonzero(np.isin(ends, shared))
    leaving = np.flatnonzero(np.isin(starts, shared))
    node = np.concatenate([ends[arriving], starts[leaving]])
    far = points[np.concatenate([starts[arriving], ends[leaving]])] - points[node]
    edge = np.concatenate([arriving, leaving])
    arrives = np.arange(len(edge)) < len(arriving)
    order = np.lexsort([arrives, np.arctan2(far[:, 1], far[:, 0]), node])
    node, edge, arrives = node[order], edge[order], arrives[order]
    first_of_node = np.searchsorted(node, node, side="left")
    last_of_node = np.searchsorted(node, node, side="right") - 1
    position = np.arange(len(node))
    clockwise = np.where(position == first_of_node, last_of_node, position - 1)
    if arrives[clockwise[arrives]].any():
        return None
    following = following.copy()
    following[edge[arrives]] = edge[clockwise[arrives]]
    return following


def _simple_rings(starts: Indices, following: Indices) -> tuple[Indices, Indices]:
    """Follow edges round into rings of point indices, ring after ring, and their sizes.

    A ring that touches itself is parted there.
    """
    edges, sizes = follow_rings(following)
    numbers = starts[edges]
    if np.bincount(starts).max(initial=0) <= 1:
        return numbers, sizes
    rings = [loop for ring in np.split(numbers, np.cumsum(sizes)[:-1]) for loop in _parted(ring.tolist())]
    return np.concatenate(rings).astype(np.int64), np.array([len(ring) for ring in rings], dtype=np.int64)


def _parted(ring: list[int]) -> list[list[int]]:
    """Part a ring at every point that it passes twice."""
    loops: list[list[int]] = []
    walk: list[int] = []
    place: dict[int, int] = {}
    for point in ring:
        if point in place:
            begin = place[point]
            loops.append(walk[begin:])
            for passed in walk[begin:]:
                del place[passed]
            del walk[begin:]
        place[point] = len(walk)
        walk.append(point)
    return [*loops, walk]


def _without_repeats(places: Points, ring_of: Indices) -> tuple[Points, Indices]:
    """Drop points that repeat the one before them in their ring (a cut through corners makes such)."""
    last = np.flatnonzero(np.append(ring_of[1:] != ring_of[:-1], True))
    before = np.arange(-1, len(places) - 1)
    before[np.append(0, last[:-1] + 1)] = last
    distinct = (places != places[before]).any(axis=1)
    return places[distinct], ring_of[distinct]


def _edge_keys(one: Indices, other: Indices, count: int) -> Indices:
    return np.minimum(one, other) * count + np.maximum(one, other)


def _signed_area(points: Points, triangles: Indices) -> float:
    corners = points[triangles]
    along, across = corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    return float((along[:, 0] * across[:, 1] - along[:, 1] * across[:, 0]).sum() / 2.0)
