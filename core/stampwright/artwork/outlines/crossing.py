"""Rings that cross: what they fill, each heap of them by itself, clipped or cut into faces, whichever is quicker."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...plane.beside import look_beside
from ...plane.chains import Chains
from ...plane.filling import fill_rings, outline_rings, sweep_steps
from ...plane.outlined.crossed import fill_crossed
from ...plane.overlays import all_joined
from ...plane.rings import bounded_by, edges_of, side_of
from ..limits import DEFAULTS, Limits, beyond
from .curves import Points

PathFillRule = Literal["nonzero", "evenodd"]
"""How SVG fills what crosses itself; a narrower choice than the plane's own."""

NOTHING = MultiPolygon()

EDGES = 64
"""How many edges are looked at to judge how often a drawing crosses itself."""

ASKED_AT_ONCE = 1 << 18
"""Pairs of an edge that is looked at and any other that are compared together, which bounds the memory."""

MANY = 100_000
"""Points up to which it is not asked how many edges lie beside each other: all pairs would be quick to look at."""

FEW_CROSSINGS = 500
"""Crossings up to which faces are quick to cut; they are the way that fails on nothing."""

PROBES = 200
"""Edges beside which a clipped region is tried: the clipper errs where many edges lie on each other."""

FEW, MOST_PLACES = 4, 16
"""Of so many rings one at most meets others, and these lie in so many places at most, where they are cut alone."""

MOST_SWEPT = 20_000_000
"""Steps of clipping, two seconds' worth, above which only those rings that cross are clipped, each heap by itself."""

_SWEPT_PER_COMPARED = 2
"""Steps of clipping that cost as much as looking at one edge."""

AT_ONCE = 2_000
"""Faces, or edges, that are compared with edges together, which bounds the memory."""


def filled_crossing(rings: Sequence[Points], rule: PathFillRule, limits: Limits = DEFAULTS) -> BaseGeometry:
    """Return the region that rings fill, of which some cross or touch, a valid Polygon or MultiPolygon.

    ``rings``: (n, 2) float arrays without repeated points. Raises :class:`ArtworkError` past a limit.
    """
    region = _filled_apart(rings, rule, limits)
    if region is not None:
        return region
    swept = min(sweep_steps(rings))
    if _estimated_crossings(*edges_of(rings)[:2], limits) <= FEW_CROSSINGS and swept <= MOST_SWEPT:
        return _filled_by_faces(rings, rule, limits)
    if swept <= MOST_SWEPT:
        # Of areas that fall apart at every crossing, clipping would be the lesser half of the work.
        walked = fill_crossed(rings, rule) if rule == "evenodd" else None
        if walked is not None:
            return walked
        region = fill_rings(rings, rule)
        return region if _holds(region, rings, rule, limits) else _filled_by_faces(rings, rule, limits)
    edges = _CrossedEdges.of(rings)
    heap_of = _heap_numbers(edges, len(rings), limits)
    firsts, members = np.unique(heap_of, return_inverse=True)
    if len(firsts) > 1:
        order = np.argsort(members, kind="stable")
        heaps = np.split(order, np.searchsorted(members[order], np.arange(1, len(firsts))))
        corners = np.array([rings[first][0] for first in firsts.tolist()])
        around = _windings(edges, corners, firsts, heap_of, limits).tolist()
        boundaries = [
            boundary
            for heap, windings in zip(heaps, around, strict=True)
            for boundary in _boundaries([rings[at] for at in heap.tolist()], windings, rule, limits)
        ]
        region = bounded_by(boundaries)
        if region is not None:
            return region
    return _filled_by_faces(rings, rule, limits)


def united_heap(polygons: NDArray[np.object_], limits: Limits = DEFAULTS) -> BaseGeometry | None:
    """Return the union of polygons of which most lie over many others, or None where the clipper errs on them.

    Raises :class:`ArtworkError` past a limit: what is swept grows with their number squared.
    """
    rings = shapely.get_rings(shapely.orient_polygons(polygons))
    outlines = [shapely.get_coordinates(ring)[:-1] for ring in rings]
    if min(sweep_steps(outlines)) > _SWEPT_PER_COMPARED * limits.most_compared:
        raise beyond("most_compared", f"{len(polygons):,} areas lie on top of each other", limits)
    region = fill_rings(outlines, "positive")
    return region if region is not None and _holds(region, outlines, "nonzero", limits) else None


def _filled_apart(rings: Sequence[Points], rule: PathFillRule, limits: Limits) -> BaseGeometry | None:
    """Return the region that rings fill, of which only those that meet are cut; None where most do, or meet often."""
    lines = np.array([shapely.linearrings(ring) for ring in rings], dtype=object)
    beside = look_beside(lines)
    if beside is None:
        return None
    meet = ~shapely.is_valid(beside.faces)
    meet[beside.meeting()] = True
    met, calm = np.flatnonzero(meet), np.flatnonzero(~meet)
    crossed = [rings[at] for at in met.tolist()]
    if len(met) * FEW >= len(rings) or _estimated_crossings(*edges_of(crossed)[:2], limits) > FEW_CROSSINGS:
        return None
    turns = np.where(shapely.is_ccw(lines), 1, -1)
    outer, inner = beside.holding()
    outer, inner = outer[~meet[outer]], inner[~meet[outer]]
    around = np.zeros(len(rings), dtype=int)
    np.add.at(around, inner, turns[outer])
    starts = np.array([ring[0] for ring in rings])
    around[calm] += winding_numbers(starts[calm], crossed, limits)
    within, without = _fills(around + turns, rule), _fills(around, rule)
    turned = np.where(within == (turns > 0), 1, -1)
    boundaries = [rings[at][:: turned[at]] for at in calm[within[calm] != without[calm]].tolist()]
    # What lies in the same calm rings is cut together: no face of it then has ink and paper in it.
    held_by = beside.innermost(outer, inner)[met]
    places = np.unique(held_by)
    if len(places) > MOST_PLACES:
        return None
    for place in places.tolist():
        here = met[held_by == place]
        others = [rings[at] for at in met[held_by != place].tolist()]
        wound = around[here[0]] + (winding_numbers(starts[here[:1]], others, limits)[0] if others else 0)
        boundaries += _bounding_faces([rings[at] for at in here.tolist()], int(wound), rule, limits)
    return bounded_by(boundaries)


def _boundaries(rings: Sequence[Points], around: int, rule: PathFillRule, limits: Limits) -> list[Points]:
    """Return where rings part ink from paper, ink on the left, in a place that others wind ``around`` times."""
    around = around % 2 if rule == "evenodd" else around
    if min(sweep_steps(rings)) > MOST_SWEPT:
        return _bounding_faces(rings, around, rule, limits)
    points = np.concatenate(rings)
    low, high = points.min(axis=0), points.max(axis=0)
    margin = float((high - low).max())
    page = shapely.box(*(low - margin), *(high + margin), ccw=around > 0)
    wound = [shapely.get_coordinates(page)[:-1]] * abs(around)
    return [ring for ring in outline_rings([*rings, *wound], rule) if (ring >= low - margin / 2).all()]


def _bounding_faces(rings: Sequence[Points], around: int, rule: PathFillRule, limits: Limits) -> list[Points]:
    """Return what :func:`_boundaries` does, by cutting the plane along all rings."""
    faces, windings = _wound_faces(rings, limits)
    # In the midst of ink, what bounds it is the outlines of the paper.
    is_ink = bool(_fills(np.array([around]), rule)[0])
    other = _fills(windings + around, rule) != is_ink
    region = shapely.orient_polygons(united_faces(faces[other]), exterior_cw=is_ink)
    return [shapely.get_coordinates(ring)[:-1] for ring in shapely.get_rings(shapely.get_parts(region))]


def _holds(region: MultiPolygon | None, rings: Sequence[Points], rule: PathFillRule, limits: Limits) -> bool:
    """Whether there is a region that has just what fills on both sides of some of the edges that it came from."""
    if region is None:
        return False
    starts, ends, _ = edges_of(rings)
    some = np.linspace(0, len(starts) - 1, PROBES).astype(int)
    middles, along = (starts[some] + ends[some]) / 2, ends[some] - starts[some]
    aside = 1e-5 * np.column_stack((-along[:, 1], along[:, 0]))
    probes = np.concatenate((middles + aside, middles - aside))
    shapely.prepare(region)
    inside = shapely.contains_xy(region, *probes.T)
    return bool((inside == _fills(winding_numbers(probes, rings, limits), rule)).all())


def _filled_by_faces(rings: Sequence[Points], rule: PathFillRule, limits: Limits) -> BaseGeometry:
    """Cut the plane along all rings, and keep the faces whose winding number fills."""
    faces, windings = _wound_faces(rings, limits)
    return united_faces(faces[_fills(windings, rule)])


def _wound_faces(rings: Sequence[Points], limits: Limits) -> tuple[Any, NDArray[np.int_]]:
    faces = faces_between([shapely.linestrings(np.vstack((ring, ring[:1]))) for ring in rings], limits)
    if not len(faces):
        return faces, np.empty(0, dtype=int)
    middles = shapely.get_coordinates(shapely.point_on_surface(faces))
    return faces, winding_numbers(middles, rings, limits)


def _fills(windings: NDArray[np.int_], rule: PathFillRule) -> NDArray[np.bool_]:
    filled: NDArray[np.bool_] = windings != 0 if rule == "nonzero" else windings % 2 == 1
    return filled


def faces_between(lines: Sequence[BaseGeometry], limits: Limits = DEFAULTS) -> Any:
    """Return the faces that lines enclose once they are cut at every crossing, an array of polygons."""
    if not len(lines):
        return np.empty(0, dtype=object)
    points, owner = shapely.get_coordinates(lines, return_index=True)
    joined = np.flatnonzero(owner[1:] == owner[:-1])
    _estimated_crossings(points[joined], points[joined + 1], limits)
    given = np.array(lines, dtype=object)
    left, bottom, right, top = shapely.total_bounds(given)
    # Cutting in floating point leaves gaps where edges nearly coincide, and faces leak away through them; on a grid,
    # every cut is exact. The grid is 2**-30 of the drawing or finer, far below any tolerance.
    grid = 2.0 ** math.floor(math.log2(max(right - left, top - bottom, 1e-9)) - 30)
    noded = shapely.union_all(given, grid_size=grid)
    return shapely.get_parts(shapely.polygonize(shapely.get_parts(noded)))


def united_faces(faces: Any) -> BaseGeometry:
    """Return the union of faces that share whole edges."""
    if not len(faces):
        return NOTHING
    united = shapely.coverage_union_all(faces)
    return united if shapely.is_valid(united) else all_joined(faces)


def check_beside(rings: Sequence[Points], limits: Limits = DEFAULTS) -> None:
    """Raise :class:`ArtworkError` where edges lie beside so many others that even to see whether they cross takes long.

    ``rings``: (n, 2) float arrays. As when a million points of one jump to and fro in a narrow band: the work goes with
    n². Rings beside each other are told apart sooner.
    """
    if sum(map(len, rings)) < MANY:
        return
    begins, ends, owners = edges_of(rings)
    found, asked = 0, 0
    for some, one, other in _near_some(begins, ends):
        found, asked = found + int((owners[one] == owners[other]).sum()), asked + len(some)
    pairs = found / asked * len(begins) / 2
    if pairs > limits.most_beside:
        raise beyond("most_beside", f"about {pairs:,.0f} pairs of edges lie beside each other in one outline", limits)


def _near_some(begins: Points, ends: Points) -> Iterator[tuple[NDArray[np.int_], NDArray[np.int_], NDArray[np.int_]]]:
    """Yield some edges, spread evenly, and pairs of each and an edge whose box meets its own, (k,) numbers each."""
    low, high = np.minimum(begins, ends).T.copy(), np.maximum(begins, ends).T.copy()
    asked = np.arange(0, len(begins), max(1, len(begins) // EDGES))
    together = max(1, ASKED_AT_ONCE // len(begins))
    for first in range(0, len(asked), together):
        some = asked[first : first + together, None]
        across = (low[0] <= high[0, some]) & (high[0] >= low[0, some])
        one, other = np.nonzero(across & (low[1] <= high[1, some]) & (high[1] >= low[1, some]))
        yield some[:, 0], some[one, 0], other


def _estimated_crossings(begins: Points, ends: Points, limits: Limits) -> float:
    """Return how often edges cross, exact for few edges; refuses what would fill the memory if it were cut."""
    crossed = []
    for some, one, other in _near_some(begins, ends):
        a, b, c, d = begins[one], ends[one], begins[other], ends[other]
        meet = (side_of(a, b, c) * side_of(a, b, d) <= 0) & (side_of(c, d, a) * side_of(c, d, b) <= 0)
        counts = np.bincount(one[meet], minlength=some[-1] + 1)[some]
        # An edge meets itself, and its neighbours in their common points.
        crossed.append(np.maximum(counts - 3, 0))
    crossings = float(np.concatenate(crossed).mean()) * len(begins) / 2
    if crossings > limits.most_crossings:
        raise beyond("most_crossings", f"the outlines cross each other about {crossings:,.0f} times", limits)
    return crossings


def winding_numbers(points: Points, rings: Sequence[Points], limits: Limits = DEFAULTS) -> NDArray[np.int_]:
    """Return how often ``rings`` wind round each of ``points``, (n,) int, by the crossings of a ray to the right.

    Source: Sunday 2001, inclusion of a point in a polygon by its winding number.
    """
    return _windings(_CrossedEdges.of(rings), points, np.full(len(points), -1), np.zeros(len(rings), dtype=int), limits)


@dataclass(frozen=True, eq=False)
class _CrossedEdges:
    """Edges of all rings, (n, 2) each, the ring of each, and chains of them to look for what lies near."""

    starts: Points
    ends: Points
    owners: NDArray[np.int_]
    chains: Chains

    @classmethod
    def of(cls, rings: Sequence[Points]) -> _CrossedEdges:
        starts, ends, owners = edges_of(rings)
        return cls(starts, ends, owners, Chains.of(starts, ends))

    def met_by(self, low: Points, high: Points, limits: Limits) -> Iterator[tuple[Any, Any]]:
        """Yield numbers of boxes from ``low`` to ``high``, (k, 2), and of edges whose boxes they meet, some at a time.

        Refuses more of these than the limit.
        """
        compared = 0
        for first in range(0, len(low), AT_ONCE):
            box, edge = self.chains.met_by(low[first : first + AT_ONCE], high[first : first + AT_ONCE])
            compared += len(edge)
            if compared > limits.most_compared:
                raise beyond("most_compared", "too many edges lie side by side in outlines that cross", limits)
            yield first + box, edge


def _windings(
    edges: _CrossedEdges, points: Points, owners: NDArray[np.int_], heap_of: NDArray[np.int_], limits: Limits
) -> NDArray[np.int_]:
    """Return how often rings wind round points, (n,), without those of the heap that owns the point."""
    windings = np.zeros(len(points), dtype=int)
    far = float(max(edges.starts[:, 0].max(), points[:, 0].max(initial=-np.inf))) + 1
    rays = np.column_stack((np.full(len(points), far), points[:, 1]))
    for asked, edge in edges.met_by(points, rays, limits):
        x, y = points[asked].T
        (x0, y0), (x1, y1) = edges.starts[edge].T, edges.ends[edge].T
        side = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
        other = heap_of[edges.owners[edge]] != owners[asked]
        upward = (y0 <= y) & (y < y1) & (side > 0) & other
        downward = (y1 <= y) & (y < y0) & (side < 0) & other
        np.add.at(windings, asked, upward.astype(int) - downward.astype(int))
    return windings


def _heap_numbers(edges: _CrossedEdges, count: int, limits: Limits) -> NDArray[np.int_]:
    """Return for each ring the number of its heap: rings that touch or cross, and those that touch these, are one."""
    links = []
    for asked, near in edges.met_by(edges.chains.low, edges.chains.high, limits):
        differ = edges.owners[asked] < edges.owners[near]
        one, two = asked[differ], near[differ]
        a, b, c, d = edges.starts[one], edges.ends[one], edges.starts[two], edges.ends[two]
        meet = (side_of(a, b, c) * side_of(a, b, d) <= 0) & (side_of(c, d, a) * side_of(c, d, b) <= 0)
        links.append(np.unique(np.stack((edges.owners[one[meet]], edges.owners[two[meet]])), axis=1))
    pairs = np.concatenate(links, axis=1)
    heap_of = np.arange(count)
    while (apart := heap_of[pairs[0]] != heap_of[pairs[1]]).any():
        one, two = heap_of[pairs[:, apart]]
        np.minimum.at(heap_of, np.maximum(one, two), np.minimum(one, two))
        while ((further := heap_of[heap_of]) != heap_of).any():
            heap_of = further
    return heap_of
