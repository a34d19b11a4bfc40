"""Parts and counters of two drawings matched through their overlaps."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..plane.nearness import near_pairs
from ..plane.overlays import all_joined, common, in_each, without

Regions = NDArray[np.object_]
"""(n,) shapely polygons, mm."""

FINEST = 0.01
"""How far a plain outline may stray, mm: an eighth of what an eye sees."""

_SAME = 1e-9  # mm; outlines no farther apart are the same
_SPECK = 1e-6  # overlaps no larger than this, mm², are rounding


@dataclass(frozen=True, eq=False)
class InkApart:
    """Ink taken apart: ``parts`` are its connected regions, ``papers`` the regions of paper that ink encloses.

    ``walls``: index of the part that encloses each paper. The paper round everything is not among them.
    """

    parts: Regions
    papers: Regions
    walls: NDArray[np.intp]

    @staticmethod
    def of(inked: MultiPolygon) -> InkApart:
        """Take a valid region apart."""
        parts = shapely.get_parts(inked)
        walled = np.flatnonzero(shapely.get_num_interior_rings(parts)).tolist()
        rings = [(at, ring) for at in walled for ring in parts[at].interiors]
        if not rings:
            return InkApart(parts, parts[:0], np.zeros(0, dtype=np.intp))
        walls = np.array([at for at, _ in rings], dtype=np.intp)
        holes = shapely.polygons([ring for _, ring in rings])
        return InkApart(parts, _less_islands(holes, walls, parts), walls)

    @cached_property
    def tree(self) -> shapely.STRtree:
        """The parts, to be looked up by place."""
        return shapely.STRtree(self.parts)

    @cached_property
    def plain(self) -> Regions:
        """The parts in few points, for what need not be finer than an eye sees; some may be invalid."""
        plain: Regions = shapely.simplify(self.parts, FINEST, preserve_topology=False)
        return plain

    def near(
        self, regions: Regions, distance: float | NDArray[np.float64]
    ) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Return which of ``regions`` lie within ``distance``, mm, of which parts, as indices of both, pair by pair.

        The parts are made ready once: one of them may have as many points as all regions together.
        """
        shapely.prepare(self.parts)
        left, bottom, right, top = shapely.bounds(regions).T
        boxes = shapely.box(left - distance, bottom - distance, right + distance, top + distance)
        region, part = self.tree.query(boxes)
        reach = np.broadcast_to(distance, len(regions))[region]
        within = shapely.dwithin(self.parts[part], regions[region], reach)
        return region[within], part[within]


def _less_islands(holes: Regions, walls: NDArray[np.intp], parts: Regions) -> Regions:
    """Return holes without the parts that stand in them; each part stands in the smallest hole round it."""
    # A point of the outline, not of the middle: a ring's middle may lie in the hole of another.
    island, hole = shapely.STRtree(holes).query(shapely.get_point(shapely.get_exterior_ring(parts), 0), "intersects")
    other = walls[hole] != island
    island, hole = island[other], hole[other]
    order = np.lexsort((shapely.area(holes[hole]), island))
    island, hole = island[order], hole[order]
    innermost = np.concatenate([[True], island[1:] != island[:-1]]) if len(island) else np.zeros(0, dtype=np.bool_)
    papers = holes.copy()
    standing: dict[int, list[int]] = {}
    for at, within in zip(island[innermost].tolist(), hole[innermost].tolist(), strict=True):
        standing.setdefault(within, []).append(at)
    for within, islands in standing.items():
        outer = [parts[at].exterior for at in islands]
        paper = Polygon(holes[within].exterior, outer)
        if not paper.is_valid:
            paper = without(holes[within], all_joined(shapely.polygons(outer)))
        papers[within] = paper
    return papers


@dataclass(frozen=True, eq=False)
class Overlaps:
    """Which regions of two sets overlap, pair by pair: ``one`` and ``other`` (n,) indices, ``common`` areas, mm²."""

    one: NDArray[np.intp]
    other: NDArray[np.intp]
    common: NDArray[np.float64]

    def others_of(self, count: int) -> list[NDArray[np.intp]]:
        """Return for each of ``count`` regions of the first set those of the other that it overlaps."""
        return _grouped(self.one, self.other, count)

    def ones_of(self, count: int) -> list[NDArray[np.intp]]:
        """Return for each of ``count`` regions of the other set those of the first that it overlaps."""
        return _grouped(self.other, self.one, count)


def overlaps(ones: Regions, others: Regions) -> Overlaps:
    """Return what overlaps what among two sets of polygons, each free of overlaps within.

    Only where neither of two polygons holds the other are they laid over each other; n log n otherwise.
    """
    if not len(ones) or not len(others):
        none = np.zeros(0, dtype=np.intp)
        return Overlaps(none, none, np.zeros(0))
    # What is looked up is made ready once: the others, among which one may hold thousands of the first.
    other, one = shapely.STRtree(ones).query(others, predicate="intersects")
    shapely.prepare(others)
    # Two that are one and the same hold each other, which is quick to see, and the slowest of all to find out.
    held = shapely.equals_exact(shapely.normalize(others)[other], shapely.normalize(ones)[one], _SAME)
    unlike = np.flatnonzero(~held)
    held[unlike] = shapely.covers(others[other[unlike]], ones[one[unlike]])
    shared = np.where(held, shapely.area(ones[one]), 0.0)
    rest = np.flatnonzero(~held)
    shared[rest] = shapely.area(in_each(common, ones[one[rest]], others[other[rest]]))
    kept = shared > _SPECK
    return Overlaps(one[kept], other[kept], shared[kept])


def linked(count: int, pairs: Iterable[tuple[int, int]]) -> NDArray[np.intp]:
    """Return for each of ``count`` things the lowest number among all that pairs link it to, directly or not.

    >>> linked(5, [(0, 1), (3, 1)]).tolist()
    [0, 0, 2, 0, 4]
    """
    root = list(range(count))

    def root_of(at: int) -> int:
        while root[at] != at:
            root[at] = at = root[root[at]]
        return at

    for pair in pairs:
        low, high = sorted(map(root_of, pair))
        root[high] = low
    return np.array([root_of(at) for at in range(count)], dtype=np.intp)


def clusters(regions: Regions, distance: float) -> NDArray[np.intp]:
    """Return for each region the lowest number among those that it hangs together with over gaps up to ``distance``."""
    one, other = near_pairs(regions, regions, distance)
    before = one < other
    return linked(len(regions), zip(one[before].tolist(), other[before].tolist(), strict=True))


def _grouped(keys: NDArray[np.intp], values: NDArray[np.intp], count: int) -> list[NDArray[np.intp]]:
    if not count:
        return []
    order = np.argsort(keys, kind="stable")
    return np.split(values[order], np.searchsorted(keys[order], np.arange(1, count)))


def within_sight(regions: Regions, width: float) -> NDArray[np.bool_]:
    """Return which regions are somewhere wider than ``width``, mm."""
    wide = np.ones(len(regions), dtype=np.bool_)
    # The largest disc's radius is at least area over outline; only the rest needs the exact look.
    doubtful = np.flatnonzero(shapely.area(regions) <= shapely.length(regions) * width / 2)
    if len(doubtful):
        wide[doubtful] = ~shapely.is_empty(shapely.buffer(regions[doubtful], -width / 2))
    return wide
