"""The middle axis: all that lies midway between two stretches of outline, inside a region or outside of it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..links import least_labels

Floats = NDArray[np.float64]

WAY_ROUND = 2.0
"""Two stretches face each other when the way along the outline is this many times their distance; in a corner of 60
degrees it is just that. What lies midway between nearer stretches is the inside of a corner or of a plain curve."""


_NEARLY = 0.01
"""How much wider than asked for, mm, what is looked at is: rolling discs are polygons."""


class Axis(NamedTuple):
    """Straight pieces of a middle axis.

    ``ends``: (n, 2, 2) mm. ``widths``: (n,) twice their distance from the outline, mm.
    """

    ends: Floats
    widths: Floats

    def without_tips(self, below: float) -> Axis:
        """Return the axis without the tips of notches: what is narrower than ``below`` mm and runs out to nothing.

        Nothing is a quarter of that.
        """
        narrow = np.flatnonzero(self.widths < below)
        if not len(narrow):
            return self
        _, nodes = np.unique(np.round(self.ends[narrow].reshape(-1, 2), 6), axis=0, return_inverse=True)
        links = nodes.reshape(-1, 2)
        labels = least_labels(int(links.max()) + 1, links)[links[:, 0]]
        least = np.full(int(links.max()) + 1, np.inf)
        np.minimum.at(least, labels, self.widths[narrow])
        kept = np.ones(len(self.widths), dtype=bool)
        kept[narrow[least[labels] < below / 4]] = False
        return Axis(self.ends[kept], self.widths[kept])


def middle_axis(
    region: MultiPolygon | Polygon,
    *,
    spacing: float,
    below: float,
    outside: bool = False,
    near: Floats | None = None,
) -> Axis:
    """Return the middle axis of a region, or of what lies outside it, where it is narrower than ``below`` mm.

    The outline is taken as points ``spacing`` mm apart at most; of their Voronoi diagram those edges are the axis that
    part stretches which face each other (Brandt and Algazi 1992; an error of about spacing²/4 over the width). With
    ``near``, (n, 4) boxes, mm, only points of the outline within ``below`` of these count.
    """
    points, rings, ways, lengths = _sampled(region, spacing)
    close = np.arange(len(points))
    if near is not None:
        close = np.unique(shapely.STRtree(points).query(shapely.box(*_grown(near, below).T))[1])
    close = close[_beside_narrow(points[close], region, below, outside=outside)]
    points, rings, ways = points[close], rings[close], ways[close]
    if len(points) < 3:
        return Axis(np.empty((0, 2, 2)), np.empty(0))
    diagram = shapely.voronoi_polygons(shapely.multipoints(points), only_edges=True)
    edges = shapely.get_parts(diagram)
    ends = np.stack(
        [shapely.get_coordinates(shapely.get_point(edges, 0)), shapely.get_coordinates(shapely.get_point(edges, 1))],
        axis=1,
    )
    middles = ends.mean(axis=1)
    shapely.prepare(region)
    ends = ends[shapely.contains_xy(region, *middles.T) != outside]
    tree = shapely.STRtree(points)
    middles = ends.mean(axis=1)
    one, widths = _nearest(tree, middles, below / 2)
    narrow = one >= 0
    ends, one, widths, middles = ends[narrow], one[narrow], 2 * widths[narrow], middles[narrow]
    places = shapely.get_coordinates(points)
    other, _ = _nearest(tree, _mirrored(places[one], ends), below)
    facing = (other >= 0) & (other != one)
    ends, one, other, widths = ends[facing], one[facing], other[facing], widths[facing]
    way = np.abs(ways[one] - ways[other])
    way = np.minimum(way, lengths[rings[one]] - way)
    apart = np.hypot(*(places[one] - places[other]).T)
    kept = (rings[one] != rings[other]) | (way > WAY_ROUND * apart)
    return Axis(ends[kept], widths[kept])


def _sampled(
    region: MultiPolygon | Polygon, spacing: float
) -> tuple[NDArray[np.object_], NDArray[np.int64], Floats, Floats]:
    """Return points along all rings, of each its ring and its way along it, mm, and the rings' lengths."""
    rings = shapely.segmentize(shapely.get_rings(shapely.get_parts(region)), spacing)
    places, of_ring = shapely.get_coordinates(rings, return_index=True)
    steps = np.zeros(len(places))
    steps[1:] = np.hypot(*np.diff(places, axis=0).T)
    ways = np.cumsum(steps)
    firsts = np.flatnonzero(np.diff(of_ring, prepend=-1))
    ways -= np.repeat(ways[firsts], np.diff(np.append(firsts, len(places))))
    # The last point of a ring is its first again.
    last = np.diff(of_ring, append=len(rings)) != 0
    return shapely.points(places[~last]), of_ring[~last].astype(np.int64), ways[~last], shapely.length(rings)


def _beside_narrow(
    points: NDArray[np.object_], region: MultiPolygon | Polygon, below: float, *, outside: bool
) -> NDArray[np.bool_]:
    """Return which points of the outline may bound discs narrower than ``below``, or lie in the way of such discs.

    A disc that touches the outline in a point where one of ``below`` goes in would lie within that and touch nothing
    else; those go where opening the region by them (closing it, outside) leaves the outline as it is (Serra 1982).
    """
    radius = (-1 if outside else 1) * (below / 2 + _NEARLY)
    opened = shapely.buffer(shapely.buffer(region, -radius, quad_segs=4), radius, quad_segs=4)
    outline = shapely.boundary(opened)
    shapely.prepare(outline)
    narrow = points[~shapely.dwithin(outline, points, _NEARLY / 10)]
    if not len(narrow):
        return np.zeros(len(points), dtype=np.bool_)
    beside = np.zeros(len(points), dtype=np.bool_)
    beside[shapely.STRtree(narrow).query_nearest(points, max_distance=below, all_matches=False)[0]] = True
    return beside


def _grown(boxes: Floats, by: float) -> Floats:
    return np.asarray(boxes + by * np.array([-1, -1, 1, 1]))


def _nearest(tree: shapely.STRtree, places: Floats, within: float) -> tuple[NDArray[np.int64], Floats]:
    """Return for each place the nearest point of a tree, -1 where there is none within some distance, and how far."""
    found, distances = np.full(len(places), -1), np.full(len(places), np.inf)
    if len(places):
        pairs, apart = tree.query_nearest(
            shapely.points(places), max_distance=within, return_distance=True, all_matches=False
        )
        found[pairs[0]], distances[pairs[0]] = pairs[1], apart
    return found, distances


def _mirrored(places: Floats, lines: Floats) -> Floats:
    """Return places mirrored in lines, one each: the other point that a Voronoi edge belongs to."""
    along = lines[:, 1] - lines[:, 0]
    along /= np.maximum(np.hypot(*along.T), 1e-12)[:, None]
    offset = places - lines[:, 0]
    foot = np.einsum("ij,ij->i", offset, along)[:, None] * along
    return np.asarray(lines[:, 0] + 2 * foot - offset)
