"""Outlines as points on a grid that 32-bit floats hold exactly, no two rings touching: what sound solids stand on."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from ...errors import SolidError
from ...plane.beside import look_beside
from ...plane.chains import Chains
from ...plane.grid import GRID
from ...plane.overlays import all_joined
from ...plane.regions import all_valid

BRIDGE = 40 * GRID
"""Width of the bridge, mm, that joins parts touching in a point: about 0.01, far below what prints or shows."""

_FARTHEST = 2048.0


@dataclass(frozen=True, eq=False)
class Outlines:
    """Closed rings in one array.

    ``points``: (n, 2) float, mm, ring after ring, last point of a ring not repeated; outer rings run counter-clockwise,
    holes clockwise, so that the region lies to the left. ``starts``: (r + 1,) where each ring starts, and ``n``.
    """

    points: NDArray[np.float64]
    starts: NDArray[np.int64]

    @cached_property
    def following(self) -> NDArray[np.int64]:
        """(n,) the number of the point that comes next in the same ring."""
        numbers = np.arange(1, len(self.points) + 1)
        numbers[self.starts[1:] - 1] = self.starts[:-1]
        return numbers

    @cached_property
    def previous(self) -> NDArray[np.int64]:
        """(n,) the number of the point that comes before in the same ring."""
        numbers = np.arange(-1, len(self.points) - 1)
        numbers[self.starts[:-1]] = self.starts[1:] - 1
        return numbers

    @cached_property
    def curves(self) -> NDArray[np.object_]:
        """(r,) closed curves, one a ring."""
        closed = np.insert(self.points, self.starts[1:], self.points[self.starts[:-1]], axis=0)
        ring_of = np.repeat(np.arange(len(self.starts) - 1), np.diff(self.starts) + 1)
        curves: NDArray[np.object_] = shapely.linestrings(closed, indices=ring_of)
        return curves

    @property
    def area(self) -> float:
        """Area of the region, mm²."""
        return float(self.ring_areas().sum())

    def ring_areas(self) -> NDArray[np.float64]:
        """Return the area that each ring encloses, mm²; negative where it runs clockwise."""
        here, after = self.points, self.points[self.following]
        crossed = here[:, 0] * after[:, 1] - after[:, 0] * here[:, 1]
        areas: NDArray[np.float64] = np.add.reduceat(crossed, self.starts[:-1]) / 2.0
        return areas

    def rings(self) -> list[NDArray[np.float64]]:
        """Return the points ring by ring."""
        return [self.points[start:end] for start, end in zip(self.starts[:-1], self.starts[1:], strict=True)]

    def kept(self, keep: NDArray[np.bool_]) -> Outlines:
        """Return the rings with some points left out; rings of which fewer than three stay are left out whole."""
        counts = np.add.reduceat(keep, self.starts[:-1], dtype=np.int64)
        whole = counts >= 3
        if not whole.all():
            keep = keep & np.repeat(whole, np.diff(self.starts))
        return Outlines(self.points[keep], np.concatenate(([0], np.cumsum(counts[whole]))))

    def divided(self, edges: NDArray[np.int64], step: float) -> Outlines:
        """Return the outlines with points added along some edges, numbered by where they start, ``step`` mm apart."""
        edge = self.points[self.following] - self.points
        pieces = np.ones(len(self.points), dtype=np.int64)
        pieces[edges] = np.ceil(np.hypot(edge[edges, 0], edge[edges, 1]) / step).astype(np.int64)
        first = np.concatenate(([0], np.cumsum(pieces)))
        start = np.repeat(np.arange(len(pieces)), pieces)
        share = (np.arange(first[-1]) - first[start]) / pieces[start]
        return Outlines(on_grid(self.points[start] + share[:, None] * edge[start]), first[self.starts])


def outline(region: Polygon | MultiPolygon, what: str, *, keep_straight: bool = False) -> Outlines:
    """Return a region's outlines on the grid, no ring touching itself or another, without straight points.

    Where parts touch in a point, or the grid makes them touch, a bridge of :data:`BRIDGE` joins them: a mesh merged by
    coordinates cannot tell two edges in one place apart. Raises :class:`SolidError`, naming ``what``, when nothing is
    left or the region cannot be made sound.
    """
    parts = _polygons(region)
    if len(parts) and not np.abs(shapely.total_bounds(parts)).max() < _FARTHEST:
        raise SolidError(f"{what} reaches beyond {_FARTHEST:g} mm from the middle; make it smaller or centre it")
    found = _outlines_of(parts, keep_straight)
    if len(found.points) and not are_apart(found):
        found = _bridged(parts, found, what, keep_straight)
    if not len(found.points):
        raise SolidError(f"{what} is empty or smaller than {GRID:.4f} mm; there is nothing to build")
    return found


def mended(region: BaseGeometry) -> BaseGeometry:
    """Return a region as it is if it is valid, else its areas without what crosses, overlaps or has no width."""
    if shapely.is_valid(region):
        return region
    united: BaseGeometry = all_joined(all_valid(shapely.get_parts(region)))
    return united


def follow_rings(ahead: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Follow numbers round their rings: ``ahead``, (n,), is the number that comes next, or negative where none does.

    Returns all numbers that lie in rings, ring after ring, and the sizes of the rings.

    >>> [found.tolist() for found in follow_rings(np.array([2, -1, 0]))]
    [[0, 2], [2]]
    """
    within = np.flatnonzero(ahead >= 0)
    number = np.full(len(ahead), -1)
    number[within] = np.arange(len(within))
    following = number[ahead[within]]
    # By steps twice as long each time: first which number of its ring is the least, then how far it is to that.
    first, onward = np.arange(len(within)), following
    while (least := np.minimum(first, first[onward])).tobytes() != first.tobytes():
        first, onward = least, onward[onward]
    starts = first == np.arange(len(within))
    left, onward = np.where(starts, 0, 1), np.where(starts, first, following)
    while (further := left[onward]).any():
        left, onward = left + further, onward[onward]
    sizes = np.bincount(first, minlength=len(within))[starts]
    begins = np.zeros(len(within), dtype=np.int64)
    begins[starts] = np.cumsum(sizes) - sizes
    size = np.zeros(len(within), dtype=np.int64)
    size[starts] = sizes
    order = np.empty(len(within), dtype=np.int64)
    order[begins[first] + (size[first] - left) % np.maximum(size[first], 1)] = within
    return order, sizes


def on_grid(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return points, mm, rounded to the grid."""
    rounded: NDArray[np.float64] = np.rint(points / GRID) * GRID + 0.0
    return rounded


def cleaned(outlines: Outlines, *, keep_straight: bool = False) -> Outlines:
    """Return outlines without equal neighbours, and without points that lie straight between their neighbours.

    With ``keep_straight``, such points stay, but not the tips of spikes without width.
    """
    while len(outlines.points):
        before = outlines.points - outlines.points[outlines.previous]
        keep: Any = before.any(axis=1)
        if keep.all():
            after = before[outlines.following]
            keep = before[:, 0] * after[:, 1] != before[:, 1] * after[:, 0]
            if keep_straight:
                keep |= (before * after).sum(axis=1) > 0
            if keep.all():
                break
        outlines = outlines.kept(keep)
    return outlines


def are_apart(outlines: Outlines) -> bool:
    """Whether no ring touches or crosses itself or another; in a set of closed curves that is what *simple* means."""
    return bool(shapely.is_simple(shapely.multilinestrings(outlines.curves)))


def _polygons(region: Polygon | MultiPolygon) -> NDArray[np.object_]:
    parts = shapely.get_parts(mended(region))
    parts = parts[(shapely.get_type_id(parts) == 3) & ~shapely.is_empty(parts)]
    oriented: NDArray[np.object_] = shapely.orient_polygons(parts)
    return oriented


def _outlines_of(polygons: NDArray[np.object_], keep_straight: bool) -> Outlines:
    """Return the polygons' rings with their points rounded to the grid, and cleaned."""
    if not len(polygons):
        return Outlines(np.empty((0, 2)), np.zeros(1, dtype=np.int64))
    points, ring_of = shapely.get_coordinates(shapely.get_rings(polygons), return_index=True)
    starts = np.concatenate(([0], np.flatnonzero(np.diff(ring_of)) + 1, [len(points)]))
    rounded = Outlines(on_grid(points), starts)
    # Rounding can turn a ring of a few grid steps inside out; then it is as good as nothing.
    turned = rounded.ring_areas() * Outlines(points, starts).ring_areas() <= 0
    if turned.any():
        rounded = rounded.kept(~np.repeat(turned, np.diff(starts)))
    return cleaned(rounded, keep_straight=keep_straight)


def _bridged(polygons: NDArray[np.object_], found: Outlines, what: str, keep_straight: bool) -> Outlines:
    """Join parts where their outlines on the grid, ``found``, touch; what crosses there is united."""
    for attempt in range(1, 7):
        x, y = _touching_points(found).T
        if len(x):
            half = attempt * BRIDGE / 2
            bridges = shapely.box(x - half, y - half, x + half, y + half)
            met = np.zeros(len(polygons), dtype=np.bool_)
            met[shapely.STRtree(bridges).query(polygons)[0]] = True
            joined = shapely.union(shapely.multipolygons(polygons[met]), all_joined(bridges), grid_size=GRID)
            polygons = np.concatenate((polygons[~met], _polygons(joined)))
        else:
            polygons = _polygons(shapely.set_precision(shapely.multipolygons(polygons), GRID))
        found = _outlines_of(polygons, keep_straight)
        if not len(found.points) or are_apart(found):
            return found
    raise SolidError(f"{what} touches itself in more points than can be joined; simplify it, or move its parts apart")


def _touching_points(outlines: Outlines) -> NDArray[np.float64]:
    """Return the points, (k, 2), that lie on an edge which neither starts nor ends with them in the same ring."""
    beside = look_beside(outlines.curves)
    if beside is not None:
        near = ~shapely.is_simple(outlines.curves)
        near[beside.meeting()] = True
        outlines = outlines.kept(np.repeat(near, np.diff(outlines.starts)))
    points, following = outlines.points, outlines.following
    point, edge = Chains.of(points, points[following]).starts_met()
    foreign = (edge != point) & (following[edge] != point)
    point, edge = point[foreign], edge[foreign]
    # Within an edge's box, a point lies on it where it is in line with its ends, which on the grid has no rounding.
    way, apart = points[following[edge]] - points[edge], points[point] - points[edge]
    return np.unique(points[point[way[:, 0] * apart[:, 1] == way[:, 1] * apart[:, 0]]], axis=0)
