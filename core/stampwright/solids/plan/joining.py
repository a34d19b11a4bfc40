"""Holes joined by narrow cuts to what lies left of them, so that thousands of them cost no more than their points.

A triangulator searches all outlines for each hole; ten thousand halftone dots would take it minutes.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from ...plane.chains import Chains
from .outlines import Outlines, follow_rings

_FULL_TURN = 2 * math.pi


def join_holes(rings: Outlines) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return rings with holes joined to their surroundings: point numbers in order, and the size of each loop.

    From the leftmost point of a hole a cut runs to an end of the edge that a level ray to the left meets first. Loops
    run along every cut twice, there and back. A hole whose cut would cross something stays a ring of its own.
    """
    inner = _leftmost_points(rings)
    if not len(inner):
        return np.arange(len(rings.points)), np.diff(rings.starts)
    chains = Chains.of(rings.points, rings.points[rings.following])
    inner, edge = _met_to_the_left(rings, chains, inner)
    outer = _nearer_end(rings, inner, edge)
    # A cut leads to a point further left, so that cuts never close a ring among holes.
    leading = rings.points[outer, 0] < rings.points[inner, 0]
    inner, outer = _clear_cuts(rings, chains, inner[leading], outer[leading])
    return _loops(rings, inner, outer)


def _leftmost_points(rings: Outlines) -> NDArray[np.int64]:
    """Return the number of the leftmost point of each hole."""
    order = np.lexsort((rings.points[:, 0], np.repeat(np.arange(len(rings.starts) - 1), np.diff(rings.starts))))
    leftmost: NDArray[np.int64] = order[rings.starts[:-1]][rings.ring_areas() < 0]
    return leftmost


def _met_to_the_left(
    rings: Outlines, chains: Chains, points: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return those points from which a level ray to the left meets an edge, and the edge that it meets first."""
    width = float(np.ptp(rings.points[:, 0]))
    length = width / math.sqrt(len(rings.starts))
    found_points, found_edges = [], []
    while len(points):
        x, y = rings.points[points].T
        ray, edge = chains.met_by(np.column_stack((x - length, y)), rings.points[points])
        foreign = (edge != points[ray]) & (rings.following[edge] != points[ray])
        ray, edge = ray[foreign], edge[foreign]
        start, end = rings.points[edge], rings.points[rings.following[edge]]
        rise = end[:, 1] - start[:, 1]
        level = rise == 0
        share = np.where(level, 0.0, (y[ray] - start[:, 1]) / np.where(level, 1.0, rise))
        met = np.where(level, np.maximum(start[:, 0], end[:, 0]), start[:, 0] + share * (end[:, 0] - start[:, 0]))
        within = (x[ray] - length <= met) & (met <= x[ray])
        ray, edge, met = ray[within], edge[within], met[within]
        nearest = np.lexsort((met, ray))
        last = np.flatnonzero(np.append(np.diff(ray[nearest]) != 0, True)) if len(ray) else np.empty(0, dtype=np.int64)
        found_points.append(points[ray[nearest[last]]])
        found_edges.append(edge[nearest[last]])
        if length > width:
            break
        points = np.setdiff1d(points, found_points[-1])
        length *= 3
    return np.concatenate(found_points), np.concatenate(found_edges)


def _nearer_end(rings: Outlines, points: NDArray[np.int64], edges: NDArray[np.int64]) -> NDArray[np.int64]:
    ends = np.stack((edges, rings.following[edges]))
    distance = np.hypot(*np.moveaxis(rings.points[ends] - rings.points[points], -1, 0))
    # Ends that do not lie to the left are no choice, unless both are none.
    distance[rings.points[ends, 0] >= rings.points[points, 0]] = np.inf
    nearer: NDArray[np.int64] = np.where(distance[0] <= distance[1], ends[0], ends[1])
    return nearer


def _clear_cuts(
    rings: Outlines, chains: Chains, inner: NDArray[np.int64], outer: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the cuts that meet no edge and no other cut but in their ends."""
    cuts = shapely.linestrings(np.stack((rings.points[inner], rings.points[outer]), axis=1))
    cut, edge = chains.met_by(*(bound(rings.points[inner], rings.points[outer]) for bound in (np.minimum, np.maximum)))
    crossed = shapely.linestrings(np.stack((rings.points[edge], rings.points[rings.following[edge]]), axis=1))
    met = shapely.intersects(cuts[cut], crossed)
    cut, edge = cut[met], edge[met]
    ends = np.stack((inner, outer))
    beside = (ends[:, cut] == edge).any(axis=0) | (ends[:, cut] == rings.following[edge]).any(axis=0)
    clear = np.ones(len(cuts), dtype=bool)
    clear[cut[~beside]] = False
    one, two = shapely.STRtree(cuts).query(cuts, predicate="intersects")
    shared = (ends[:, None, one] == ends[None, :, two]).any(axis=(0, 1))
    clear[np.maximum(one, two)[~shared]] = False
    return inner[clear], outer[clear]


def _loops(
    rings: Outlines, inner: NDArray[np.int64], outer: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Walk along rings and cuts, always taking the way that turns most to the left."""
    count, cuts = len(rings.points), len(inner)
    # Ways: along the rings, numbered by where they start, then along the cuts inwards and outwards.
    start = np.concatenate((np.arange(count), outer, inner))
    end = np.concatenate((rings.following, inner, outer))
    ahead = rings.following.copy()
    ahead = np.concatenate((ahead, np.full(2 * cuts, -1)))
    at = np.unique(np.concatenate((inner, outer)))
    here = np.concatenate((at, count + np.arange(2 * cuts)))
    way = rings.points[end[here]] - rings.points[start[here]]
    leaving: dict[int, list[tuple[float, int]]] = {point: [] for point in at.tolist()}
    for point, angle, number in zip(
        start[here].tolist(), np.arctan2(way[:, 1], way[:, 0]).tolist(), here.tolist(), strict=True
    ):
        leaving[point].append((angle, number))
    coming = np.concatenate((rings.previous[at], count + np.arange(2 * cuts)))
    back = rings.points[start[coming]] - rings.points[end[coming]]
    for number, point, angle in zip(
        coming.tolist(), end[coming].tolist(), np.arctan2(back[:, 1], back[:, 0]).tolist(), strict=True
    ):
        ahead[number] = _first_clockwise(leaving[point], angle, _reverse(number, count, cuts))
    order, sizes = follow_rings(ahead)
    return start[order], sizes


def _reverse(number: int, count: int, cuts: int) -> int:
    """Return the way that runs along the same cut in the other direction; ways along rings have none, -1."""
    if number < count:
        return -1
    return number + cuts if number < count + cuts else number - cuts


def _first_clockwise(leaving: list[tuple[float, int]], angle: float, reverse: int) -> int:
    """Return which way out is met first when turning clockwise from ``angle``; back the same way only at last."""

    def turn(way: tuple[float, int]) -> float:
        return _FULL_TURN if way[1] == reverse else (angle - way[0]) % _FULL_TURN

    return min(leaving, key=turn)[1]
