"""Islands and counters: specks, dots that stand alone, and enclosed paper that floods."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..plane.nearness import chained_outlines
from .limits import EYE
from .widths.edges import MEASURING_ERROR, Floats, Wholes

Shapes = NDArray[np.object_]


@dataclass(frozen=True, eq=False)
class Islands:
    """Some islands, of ink or of paper.

    ``shapes``: (n,) polygons. ``sizes``: (n,) diameters of their circles, mm. ``centres``: (n, 2) those circles'
    centres, mm. ``indices``: (n,) their places among the artwork's
    polygons (ink) or among all its inner rings (paper).
    """

    shapes: Shapes
    sizes: Floats
    centres: Floats
    indices: Wholes

    def __len__(self) -> int:
        return len(self.sizes)

    def only(self, chosen: NDArray[np.bool_]) -> Islands:
        """Return the chosen ones, (n,) bool."""
        return Islands(self.shapes[chosen], self.sizes[chosen], self.centres[chosen], self.indices[chosen])


def find_small_islands(inked: MultiPolygon, limit: float) -> Islands:
    """Return the islands of ink whose smallest enclosing circle is under ``limit`` mm across, with that diameter."""
    parts = shapely.get_parts(inked)
    bounds = shapely.bounds(parts)
    candidates = np.flatnonzero((bounds[:, 2:] - bounds[:, :2]).max(axis=1) < limit) if len(parts) else _none()
    sizes = 2 * shapely.minimum_bounding_radius(parts[candidates])
    small = np.flatnonzero(sizes < limit - MEASURING_ERROR)
    chosen = candidates[small]
    circles = shapely.centroid(shapely.minimum_bounding_circle(parts[chosen]))
    return Islands(parts[chosen], sizes[small], shapely.get_coordinates(circles), chosen)


def stand_alone(inked: MultiPolygon, islands: Islands, distance: float) -> NDArray[np.bool_]:
    """Say of each island whether there is no other ink within ``distance`` mm."""
    alone = np.ones(len(islands), dtype=bool)
    if not len(alone) or distance <= 0:
        return alone
    # Whether there is any of what is large is sooner told than what there is.
    large, _ = chained_outlines(np.delete(shapely.get_parts(inked), islands.indices))
    alone[large.tree.query_nearest(islands.shapes, max_distance=distance, all_matches=False)[0]] = False
    left = np.flatnonzero(alone)
    one, other = shapely.STRtree(islands.shapes).query(islands.shapes[left], predicate="dwithin", distance=distance)
    alone[left[one[left[one] != other]]] = False
    return alone


def find_flooding_counters(inked: MultiPolygon, limit: float) -> Islands:
    """Return the counters that hold no disc of ``limit`` mm, with the diameter of the largest disc that they hold."""
    counters = shapely.polygons(_inner_rings(inked))
    least = (limit - MEASURING_ERROR) / 2
    # Most counters hold the disc at the first point that one tries.
    doubtful = np.flatnonzero(shapely.distance(shapely.point_on_surface(counters), shapely.boundary(counters)) < least)
    small = doubtful[shapely.is_empty(shapely.buffer(counters[doubtful], -least))]
    sizes, centres = _largest_discs(counters[small], limit)
    return Islands(counters[small], sizes, centres, small)


def within_sight_of(islands: Islands) -> Islands:
    """Return those that an eye sees: pinholes where outlines overlap are nothing to a reader, nor to repair."""
    return islands.only(islands.sizes >= EYE)


def _largest_discs(shapes: Shapes, limit: float) -> tuple[Floats, Floats]:
    """Return diameter (n,) and centre (n, 2) of the largest disc in each shape, all below the limit, by halving.

    Insets are steady on long thin shapes, where searching for the centre cell by cell is slow.
    """
    low, high = np.zeros(len(shapes)), np.full(len(shapes), limit / 2)
    cores = shapes.copy()
    while len(shapes) and high[0] - low[0] > MEASURING_ERROR / 4:
        middle = (low + high) / 2
        inset = shapely.buffer(shapes, -middle)
        fits = ~shapely.is_empty(inset)
        cores[fits] = inset[fits]
        low, high = np.where(fits, middle, low), np.where(fits, high, middle)
    return low + high, shapely.get_coordinates(shapely.point_on_surface(cores))


def without_islands(inked: MultiPolygon, specks: Islands) -> MultiPolygon:
    """Return the artwork without the given islands of ink."""
    return MultiPolygon(list(np.delete(shapely.get_parts(inked), specks.indices))) if len(specks) else inked


def without_counters(inked: MultiPolygon, counters: Islands) -> MultiPolygon:
    """Return the artwork with the given counters filled."""
    if not len(counters):
        return inked
    rings, of_polygon = shapely.get_rings(shapely.get_parts(inked), return_index=True)
    is_inner = np.diff(of_polygon, prepend=-1) == 0
    kept = np.delete(np.flatnonzero(is_inner), counters.indices)
    outer = rings[~is_inner]
    holes: list[list[object]] = [[] for _ in outer]
    for ring, polygon in zip(rings[kept], of_polygon[kept], strict=True):
        holes[polygon].append(ring)
    return MultiPolygon([Polygon(shell, inner) for shell, inner in zip(outer, holes, strict=True)])


def _inner_rings(inked: MultiPolygon) -> Shapes:
    rings, of_polygon = shapely.get_rings(shapely.get_parts(inked), return_index=True)
    return np.asarray(rings[np.diff(of_polygon, prepend=-1) == 0])


def corners_that_touch(inked: MultiPolygon) -> Floats:
    """Return the points at which outlines meet themselves or each other corner to corner, (n, 2) mm."""
    rings = shapely.get_rings(shapely.get_parts(inked))
    corners, of_ring = shapely.get_coordinates(rings, return_index=True)
    # Each ring repeats its first corner at its end.
    corners = corners[np.diff(of_ring, append=-1) == 0]
    values = np.sort(corners[:, 0] + 1j * corners[:, 1])
    twice = np.unique(values[1:][values[1:] == values[:-1]])
    return np.column_stack([twice.real, twice.imag])


def _none() -> Wholes:
    return np.empty(0, dtype=np.int64)
