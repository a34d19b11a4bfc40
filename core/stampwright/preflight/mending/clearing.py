"""Clearing: the paper that must stay open while ink grows beside it."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...plane.axes.axis import middle_axis
from ...plane.overlays import all_joined, common, without
from ..islands import Islands, find_flooding_counters
from ..limits import PrintLimits
from ..widths.edges import Floats
from .tubes import MARGIN, QUARTER, Shapes

_SPACING = 0.06
"""Outlines are taken as points this far apart, mm, to find the middle between them within a hundredth."""

_OVERLAP = 1e-6
"""Kept paper that reaches less far than this past growing ink is not cut out of it, mm²."""


def paper_kept(inked: MultiPolygon, width: float, limits: PrintLimits, near: Floats) -> BaseGeometry:
    """Return the paper that ink growing to lines of ``width`` mm has to leave free near some boxes, (n, 4) mm.

    Between two inks that is a lane as wide as the spread closes, along the middle of their gap; in a counter the disc
    that it has, as far as counters need one. Corners and the tips of notches are no gaps and may fill.
    """
    axis = middle_axis(inked, spacing=_SPACING, below=width + limits.gap, outside=True, near=near)
    merged = shapely.line_merge(shapely.multilinestrings(shapely.linestrings(axis.without_tips(limits.gap).ends)))
    middles = shapely.simplify(shapely.get_parts(merged), _SPACING / 8)
    lanes = shapely.buffer(middles, limits.gap / 2 + MARGIN, quad_segs=QUARTER)
    return all_joined([*lanes, counters_kept(inked, width, limits)])


def counters_kept(inked: MultiPolygon, width: float, limits: PrintLimits) -> BaseGeometry:
    """Return the disc of each counter that lines growing to ``width`` mm might fill, as far as counters need one."""
    counters = find_flooding_counters(inked, width + limits.counter)
    return all_joined(discs(counters, np.minimum(counters.sizes, limits.counter)))


def grown_clear_of(region: BaseGeometry, paper: BaseGeometry) -> BaseGeometry:
    """Return a region without the paper that has to stay free."""
    cut = common(region, paper)
    return region if cut.area < _OVERLAP else without(region, paper)


def discs(islands: Islands, sizes: Floats | float) -> Shapes:
    """Return discs of some diameters, mm, about the middles of islands or counters."""
    radii = np.broadcast_to(np.asarray(sizes) / 2 + MARGIN, len(islands))
    return np.asarray(shapely.buffer(shapely.points(islands.centres), radii, quad_segs=QUARTER))
