"""Middle lines: line art as the lines that a pen of one width would draw it with."""

from __future__ import annotations

import numpy as np
import shapely
import shapely.ops
from numpy.typing import NDArray
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from .axis import middle_axis

BROAD = 3.0
"""Ink this many widths across, or more, is an area and no line."""

_SPACING = 0.04
_SMOOTHNESS = 0.01
_QUARTER = 12
_DIGITS = 5

_BENT = 0.6
"""Share of its width from the end of a stroke within which its axis may bend into one of the end's corners."""

_STRAIGHT = 0.95
"""Cosine of the turn within a stroke's width up to which the stroke is straight: 18 degrees."""

_SPUR = 0.4
"""Share of the width there up to which a line that leaves a junction and ends is no stroke but a corner's own line."""


def middle_lines(region: MultiPolygon | Polygon, width: float) -> NDArray[np.object_]:
    """Return the lines by which a pen of ``width`` mm draws a region, where that is narrower than three of these.

    They are the medial axis (Blum 1967) without what leads into corners. At the end of a stroke the axis is continued
    straight on to where the pen just touches the end of the ink. An empty region has none.
    """
    axis = middle_axis(region, spacing=min(_SPACING, width / 4), below=BROAD * width)
    # Where four points of the outline are on one circle, the diagram has nodes that differ by rounding.
    ends = np.round(axis.ends, _DIGITS)
    ends = ends[np.any(ends[:, 0] != ends[:, 1], axis=1)]
    lines = shapely.get_parts(shapely.line_merge(shapely.multilinestrings(shapely.linestrings(ends))))
    lines = shapely.simplify(lines, _SMOOTHNESS)
    lines = _without_spurs(_without_crumbs(lines, region, width), region)
    outline = _edges_of(region)
    drawn = []
    for line, (start, end) in zip(lines, _free_ends(lines), strict=True):
        ended = shapely.reverse(_with_end(shapely.reverse(line), outline, width)) if start else line
        drawn.append(_with_end(ended, outline, width) if end else ended)
    return np.array(drawn, dtype=np.object_)


def drawn_with_pen(region: MultiPolygon, width: float) -> BaseGeometry:
    """Return line art drawn anew by its middle lines, all ``width`` mm wide.

    Ink at least three widths across keeps its shape, and so do islands that have no middle line, such as dots: these
    become as large as the pen where they are smaller.
    """
    drawn = shapely.union_all(shapely.buffer(middle_lines(region, width), width / 2, quad_segs=_QUARTER))
    reach = BROAD * width / 2
    areas = shapely.intersection(shapely.buffer(shapely.buffer(region, -reach), 1.01 * reach), region)
    parts = shapely.get_parts(region)
    shapely.prepare(drawn)
    dots = parts[~shapely.intersects(drawn, parts)]
    touched = shapely.buffer(shapely.centroid(dots), width / 2, quad_segs=_QUARTER)
    return shapely.union_all([drawn, areas, *dots, *touched])


def _without_crumbs(lines: NDArray[np.object_], region: BaseGeometry, width: float) -> NDArray[np.object_]:
    """Return lines without short ones that hang on nothing, such as of a sharp corner; each part keeps its longest."""
    parts = shapely.get_parts(region)
    line, part = shapely.STRtree(parts).query(shapely.get_point(lines, 0), predicate="intersects")
    of_part = np.full(len(lines), -1)
    of_part[line] = part
    lengths = shapely.length(lines)
    longest = np.zeros(len(parts) + 1)
    np.maximum.at(longest, of_part, lengths)
    alone = _free_ends(lines).all(axis=1)
    return np.asarray(lines[~(alone & (lengths < width) & (lengths < longest[of_part]))], dtype=np.object_)


def _without_spurs(lines: NDArray[np.object_], region: BaseGeometry) -> NDArray[np.object_]:
    """Return lines without those that leave a junction and end before they are a stroke; what meets there is joined."""
    free = _free_ends(lines)
    hanging = np.flatnonzero(free[:, 0] != free[:, 1])
    inner = shapely.get_point(lines[hanging], np.where(free[hanging, 0], -1, 0))
    (asked, _), near = _edges_of(region).query_nearest(inner, return_distance=True, all_matches=False)
    spurs = np.zeros(len(lines), dtype=np.bool_)
    spurs[hanging[asked]] = shapely.length(lines[hanging[asked]]) < _SPUR * 2 * near
    if not spurs.any():
        return lines
    joined = shapely.get_parts(shapely.line_merge(shapely.multilinestrings(list(lines[~spurs]))))
    return np.asarray(joined, dtype=np.object_)


def _free_ends(lines: NDArray[np.object_]) -> NDArray[np.bool_]:
    """Return for each line whether nothing goes on at its start, and at its end; (n, 2)."""
    if not len(lines):
        return np.zeros((0, 2), dtype=np.bool_)
    ends = np.stack([shapely.get_coordinates(shapely.get_point(lines, at)) for at in (0, -1)], axis=1)
    _, node, count = np.unique(np.round(ends.reshape(-1, 2), _DIGITS), axis=0, return_inverse=True, return_counts=True)
    free: NDArray[np.bool_] = (count[node.ravel()] == 1).reshape(-1, 2)
    return free


def _edges_of(region: BaseGeometry) -> shapely.STRtree:
    """Return the edges of a region's outline, to be looked up by place: there may be more than a hundred thousand."""
    points, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(region)), return_index=True)
    own = ring[1:] == ring[:-1]
    return shapely.STRtree(shapely.linestrings(np.stack([points[:-1][own], points[1:][own]], axis=1)))


def _with_end(line: LineString, outline: shapely.STRtree, width: float) -> LineString:
    """Return a line without the bend at its end, prolonged straight; it is left where there is too little of it."""
    # A corner of the end comes ever nearer to the outline: the stroke's own width is measured further in.
    inside = line.interpolate(max(line.length - width, line.length / 2))
    local = 2 * float(outline.query_nearest(inside, return_distance=True, all_matches=False)[1][0])
    kept = line.length - _BENT * local
    if kept < local / 2:
        return line
    last = line.interpolate(kept)
    before = line.interpolate(max(kept - local, 0.0))
    way = np.array([last.x - before.x, last.y - before.y])
    if not way.any():
        return line
    way /= np.hypot(*way)
    earlier = line.interpolate(max(kept - 2 * local, 0.0))
    onward = np.array([before.x - earlier.x, before.y - earlier.y])
    if onward @ way < _STRAIGHT * np.hypot(*onward):
        # A curved stroke does not end straight on.
        return line
    ray = LineString([(last.x, last.y), (last.x + 3 * local * way[0], last.y + 3 * local * way[1])])
    met = outline.geometries[outline.query(ray, predicate="intersects")]
    room = float(shapely.distance(last, shapely.intersection(ray, met)).min(initial=np.inf))
    beyond = 0.0 if np.isinf(room) else max(0.0, min(room, 2 * local) - width / 2)
    cut = shapely.ops.substring(line, 0.0, kept)
    tip = (last.x + beyond * way[0], last.y + beyond * way[1])
    return LineString([*cut.coords, tip]) if beyond > 0 else cut
