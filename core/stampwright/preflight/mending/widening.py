"""Widening: thin lines made as broad as they need to be, and broader where there is room; points blunted."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ..islands import find_flooding_counters
from ..limits import PrintLimits
from ..narrow_places import JudgedLines
from ..widths.edges import Floats
from ..widths.middles import MiddleLines, join_lines, measure_gap_widths
from ..widths.places import find_places, sources_of
from .tubes import GRID, MARGIN, polygons_of, tube

# Widths between which widened lines step where room is scarce, as a share of the warning limit.
_STEP = 1 / 16


def widen_lines(inked: MultiPolygon, judged: JudgedLines, limits: PrintLimits) -> BaseGeometry:
    """Widen lines to the least that is laid, and on to the warning limit where that crowds nothing; blunt points.

    A point keeps what is at least a hair wide, a hair being half of the least that is laid, and is widened to that
    least; the hair goes.
    """
    hair = limits.line_blocks / 2
    points = [place.lines for place in judged.spikes]
    least = [place.lines for place in judged.missing] + [point.above(hair) for point in points]
    needed = tube(least, limits.line_blocks, within=inked)
    # What stays of a point ends in a disc as wide as it is there.
    stumps = tube([point.above(0.9 * min(hair, point.widest)) for point in points], hair)
    tips = tube([point.below(hair) for point in points], hair).difference(shapely.union(needed, stumps))
    sure = polygons_of(shapely.union(polygons_of(inked.difference(tips)), needed, grid_size=GRID))
    weak = [place.lines for place in judged.around_missing + judged.weak]
    return shapely.union(sure, _widen_where_there_is_room(weak, sure, limits), grid_size=GRID) if weak else sure


def _widen_where_there_is_room(stretches: list[MiddleLines], inked: MultiPolygon, limits: PrintLimits) -> BaseGeometry:
    """Return ink about middle lines, up to the warning limit wide, that comes close to no other and floods no counter.

    Ink on both sides of a gap that keeps half the clearance away from the middle of the gap keeps the gap clear; so
    the widest disc at a place has that much less than the distance to the nearest such middle as its radius.
    """
    lines = join_lines(stretches).divided(limits.line_warns / 4)
    middles = _middles_of_paper(inked, np.array([part.bounds for part in stretches]), limits)
    if len(middles) == 0:
        return tube([lines], limits.line_warns, within=inked)
    tree = shapely.STRtree(middles)
    widths = np.minimum(_room(lines.starts, tree, limits), _room(lines.ends, tree, limits))
    # Where there is less room than the line has already, it stays as it is.
    widths[widths < lines.narrowest] = 0.0
    steps = [tube([lines.only(widths == width)], float(width), within=inked) for width in np.unique(widths)]
    return shapely.union_all(steps)


def _middles_of_paper(inked: MultiPolygon, near: Floats, limits: PrintLimits) -> NDArray[np.object_]:
    """Return the middles of gaps and small counters that growing lines may crowd; the points of notches may fill."""
    reach = limits.line_warns + limits.counter
    gaps = measure_gap_widths(inked, reach, near + limits.line_warns * np.array([-1, -1, 1, 1]))
    notches = sources_of([place for place in find_places(gaps, limits.gap) if place.is_point], len(gaps))
    gaps = join_lines([gaps.only(~notches), gaps.only(notches).above(limits.gap)])
    counters = find_flooding_counters(inked, reach)
    centres = np.concatenate([np.stack([gaps.starts, gaps.ends], axis=1), np.stack([counters.centres] * 2, axis=1)])
    return np.asarray(shapely.linestrings(centres))


def _room(centres: Floats, tree: shapely.STRtree, limits: PrintLimits) -> Floats:
    """Return the width that ink may have at each centre, (n,) mm, in steps."""
    places, distances = tree.query_nearest(
        shapely.points(centres), max_distance=limits.line_warns, return_distance=True, all_matches=False
    )
    widths = np.full(len(centres), limits.line_warns)
    step = _STEP * limits.line_warns
    widths[places[0]] = np.floor((2 * distances - limits.counter - 8 * MARGIN) / step) * step
    return np.asarray(np.minimum(widths, limits.line_warns))
