"""The hollow of a handle, open at the foot, under a roof steep enough to print without support."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from ...plane.overlays import common, in_each
from ...solids.lathe import CHORD_TOLERANCE
from .strokes import STEEPEST_MOULDING, Sections

STEP = 0.25
"""Distance of the levels at which a hollow is measured, mm."""

LEAST_TIP = 0.05
"""Half width, mm, that counts as none: a hollow finer than that cannot be seen, let alone printed."""

SMALLEST = 2.0
"""Half width of a hollow at the foot, mm, under which hollowing saves nothing."""


def hollow_sections(sections: Sections, *, wall: float, roof: float, corner: float = 1.0) -> Sections | None:
    """Return the sections of the hollow inside a form, or None where the wall leaves no room.

    ``wall``: least thickness of the flanks, square to them, mm; ``roof``: least thickness over the hollow's tip, mm;
    ``corner``: how much farther the outline's corners move than its half widths. Upwards, the hollow nowhere narrows by
    more than :data:`~.strokes.STEEPEST_MOULDING` degrees from the vertical, and it ends in a tip.
    """
    tip = float(sections.height.max()) - roof
    if tip <= STEP:
        return None
    levels = np.append(np.arange(0.0, tip, STEP), tip)
    rooms = [_room(widths, sections.height, levels, wall) for widths in (sections.along, sections.across)]
    closed = np.flatnonzero(np.minimum(*rooms) <= LEAST_TIP)
    top = int(closed[0]) if len(closed) else len(levels) - 1
    lean = math.tan(math.radians(STEEPEST_MOULDING)) / corner
    levels = levels[: top + 1]
    along, across = (_roofed(levels, room[: top + 1], lean) for room in rooms)
    if min(along[0], across[0]) < SMALLEST:
        return None
    kept = _bends(levels, along, across)
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
    free = shapely.distance(shapely.points(axis, levels), in_each(common, spokes, shapely.boundary(inside)))
    within = shapely.contains_xy(inside, axis, levels)
    return np.where(within & np.isfinite(free), free, 0.0)


def _roofed(levels: NDArray[np.float64], room: NDArray[np.float64], lean: float) -> NDArray[np.float64]:
    """Return the room under a roof that ends in a tip at the last level and widens downwards by ``lean`` at most."""
    # Seen from each level: the least, over all levels above, of the room there and what the roof may grow until here.
    slant = room + levels * lean
    slant[-1] = levels[-1] * lean
    roofed: NDArray[np.float64] = np.minimum.accumulate(slant[::-1])[::-1] - levels * lean
    return np.maximum(roofed, 0.0)


def _bends(levels: NDArray[np.float64], along: NDArray[np.float64], across: NDArray[np.float64]) -> NDArray[np.int64]:
    """Return which levels to keep so that both flanks stay true."""
    kept = np.zeros(len(levels), dtype=bool)
    for flank in (along, across):
        course = shapely.simplify(shapely.linestrings(np.column_stack((flank, levels))), CHORD_TOLERANCE)
        kept |= np.isin(levels, shapely.get_coordinates(course)[:, 1])
    return np.flatnonzero(kept)
