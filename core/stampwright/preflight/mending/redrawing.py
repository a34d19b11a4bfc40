"""Redrawing: line art drawn anew along its middle lines, at one width; areas stay as they are."""

from __future__ import annotations

import shapely
from shapely.geometry import MultiPolygon

from ...plane.axes.middle_lines import drawn_with_pen
from .tubes import MENDING_GRID, polygons_of


def redrawn_by_middle_lines(inked: MultiPolygon, width: float) -> MultiPolygon:
    """Return ink with every line redrawn ``width`` mm wide along its middle; mm, paper frame.

    Ink at least three widths across keeps its shape, and so do islands that have no middle line, such as dots.
    """
    return polygons_of(shapely.set_precision(drawn_with_pen(inked, width), MENDING_GRID))
