"""The hollow of a handle, open at the foot, under a roof steep enough to print without support."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from ...solids.lathe import CHORD_TOLERANCE
from .strokes import STEEPEST, Sections

STEP = 0.25
"""Distance of the levels at which a hollow is measured, mm."""

SMALLEST = 2.0
"""Half width of a hollow at the foot, mm, under which hollowing saves nothing."""


def hollow_sections(sections: Sections, *, wall: float, roof: float, corner: float = 1.0) -> Sections | None:
    """Return the sections of the hollow inside a form, or None where the wall leaves no room.

    ``wall``: least thickness of the flanks, square to them, mm; ``roof``: least thickness over the hollow's tip, mm.
    The ``corner``: how much farther a corner moves than the half widths. The hollow narrows upwards nowhere by more
    than :data:`~.strokes.STEEPEST` degrees from the vertical and ends in a tip.
    """
    tip = float(sections.height.max()) - roof
    if tip <= STEP:
        return None
    levels = np.append(np.arange(0.0, tip, STEP), tip)
    lean = math.tan(math.radians(STEEPEST)) / corner
    along = _roofed(levels, _room(sections.along, sections.height, levels, wall), lean)
    across = _roofed(levels, _room(sections.across, sections.height, levels, wall), lean)
    if min(along[0], across[0]) < SMALLEST:
        return None
    upper = min(len(levels), int(np.argmax(np.minimum(along, across) <= 0)) + 1)
    kept = _bends(levels[:upper], along[:upper], across[:upper])
    # The roundness of the level: the hollow follows the form's own planform.
    order = np.argsort(sections.height, kind="stable")
    roundness = np.interp(levels[kept], sections.height[order], sections.roundness[order])
    # One ring under the foot, so that the cut leaves no skin there.
    below = np.concatenate(([-1.0], levels[kept]))
    return Sections(below, *(np.concatenate((part[:1], part)) for part in (along[kept], across[kept], roundness)))


def _room(
    half_widths: NDArray[np.float64], heights: NDArray[np.float64], levels: NDArray[np.float64], wall: float
) -> NDArray[np.float64]:
    """Return (k,) how far the room inside the wall reaches from the axis at each level, mm; 0 for none."""
    # Carried on below the foot, so that the wall is not counted from there.
    right = np.column_stack((half_widths, heights))
    under = right[0] - (0.0, 3 * wall)
    right = np.vstack((under, right))
    outline = Polygon(np.vstack((right, right[::-1] * (-1.0, 1.0)))).buffer(0)
    inside = outline.buffer(-wall)
    reach = 2 * float(half_widths.max())
    axis, out = np.zeros(len(levels)), np.full(len(levels), reach)
    spokes = shapely.linestrings(np.stack((np.column_stack((axis, levels)), np.column_stack((out, levels))), axis=1))
    free = shapely.distance(shapely.points(axis, levels), shapely.intersection(spokes, shapely.boundary(inside)))
    within = shapely.contains_xy(inside, axis, levels)
    return np.where(within & np.isfinite(free), free, 0.0)


def _roofed(levels: NDArray[np.float64], room: NDArray[np.float64], lean: float) -> NDArray[np.float64]:
    """Return the room from the foot up to the first level without any, narrowed to what a steep roof covers."""
    closed = np.flatnonzero(room <= 0)
    top = int(closed[0]) if len(closed) else len(levels) - 1
    # Seen from each level: the least, over all levels above it, of the room there and what the roof may grow until
    # here.
    slant = np.where(np.arange(len(levels)) < top, room + levels * lean, levels[top] * lean)
    roofed = np.minimum.accumulate(slant[::-1])[::-1] - levels * lean
    roofed[top:] = 0.0
    return np.maximum(roofed, 0.0)


def _bends(levels: NDArray[np.float64], along: NDArray[np.float64], across: NDArray[np.float64]) -> NDArray[np.int64]:
    """Return which levels to keep so that both flanks stay true."""
    kept = np.zeros(len(levels), dtype=bool)
    for flank in (along, across):
        course = shapely.simplify(shapely.linestrings(np.column_stack((flank, levels))), CHORD_TOLERANCE)
        kept |= np.isin(levels, shapely.get_coordinates(course)[:, 1])
    return np.flatnonzero(kept)
