"""Opening: gaps and counters cut wide enough along their middles, and given back where the ink cannot spare it."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...plane.overlays import all_joined, common, joined, without
from ..islands import Islands
from ..limits import PrintLimits
from ..widths.edges import Floats
from ..widths.middles import measure_line_widths
from ..widths.places import NarrowPlace, find_places, sources_of
from .clearing import discs
from .tubes import polygons_of, tube


def cut_open(inked: MultiPolygon, gaps: list[NarrowPlace], counters: Islands, limits: PrintLimits) -> MultiPolygon:
    """Return ink with gaps and counters open, whatever that leaves of the lines beside them."""
    cut = all_joined([tube([gap.lines for gap in gaps], limits.gap), *discs(counters, limits.counter)])
    return polygons_of(without(inked, cut))


def give_back(inked: MultiPolygon, before: MultiPolygon, near: Floats, limits: PrintLimits) -> BaseGeometry:
    """Return ink with what was cut from lines near some boxes, (n, 4) mm, put back to the least that is laid.

    That is for lines that had no room to grow on their other side.
    """
    lines = measure_line_widths(before, limits.line_blocks + limits.counter, near)
    pointed = sources_of([place for place in find_places(lines, limits.line_blocks) if place.is_point], len(lines))
    kept = tube([lines.only(~pointed)], limits.line_blocks)
    here = all_joined(shapely.box(*(near + limits.line_blocks * np.array([-1, -1, 1, 1])).T))
    return joined(inked, common(common(kept, here), before))
