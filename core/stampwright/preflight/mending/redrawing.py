"""Redrawing: line art drawn anew along its middle lines, at one width; areas stay as they are."""

from __future__ import annotations

import shapely
from shapely.geometry import MultiPolygon

from ...plane.axis import middle_axis
from .tubes import MENDING_GRID, polygons_of

BROAD = 3.0
"""Ink this many widths across, or more, is an area and no line."""

_SPACING = 0.04
_SMOOTHNESS = 0.01
_QUARTER = 12


def redrawn_by_middle_lines(inked: MultiPolygon, width: float) -> MultiPolygon:
    """Return ink with every line redrawn ``width`` mm wide along its middle; mm, paper frame.

    The middle lines are the medial axis (Blum 1967) without what leads into corners. Ink at least three widths across
    keeps its shape, and so do islands that have no middle line, such as dots.
    """
    axis = middle_axis(inked, spacing=min(_SPACING, width / 4), below=BROAD * width)
    lines = shapely.get_parts(shapely.line_merge(shapely.multilinestrings(shapely.linestrings(axis.ends))))
    lines = shapely.simplify(lines, _SMOOTHNESS)
    drawn = shapely.union_all(shapely.buffer(lines, width / 2, quad_segs=_QUARTER))
    reach = BROAD * width / 2
    areas = shapely.intersection(shapely.buffer(shapely.buffer(inked, -reach), 1.01 * reach), inked)
    parts = shapely.get_parts(inked)
    shapely.prepare(drawn)
    dots = parts[~shapely.intersects(drawn, parts)]
    return polygons_of(shapely.union_all([drawn, areas, *dots], grid_size=MENDING_GRID))
