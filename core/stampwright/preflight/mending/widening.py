"""Widening: thin lines made as broad as asked, away from what is too near to them; points blunted."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...plane.overlays import all_joined, common, joined, without
from ..limits import PrintLimits
from ..widths.edges import Floats
from ..widths.places import NarrowPlace
from .clearing import grown_clear_of
from .tubes import MENDING_GRID, QUARTER, polygons_of, tube

_CRUMB = 1e-3  # parts no broader than this on average, mm, are where two outlines lie on each other

SKIN = 0.025
"""How far past the width asked for smoothing may fill, mm: a sixteenth of what a common nozzle lays."""


def blunt_points(inked: MultiPolygon, points: list[NarrowPlace], limits: PrintLimits) -> MultiPolygon:
    """Return ink whose points end where they are broad enough to be laid at all.

    A point keeps what is at least a hair wide, a hair being half of the least that is laid, and is widened to that
    least; the hair goes.
    """
    if not points:
        return inked
    hair = limits.line_blocks / 2
    ends = [place.lines for place in points]
    needed = tube([end.above(hair) for end in ends], limits.line_blocks, within=inked)
    # What stays of a point ends in a disc as wide as it is there.
    stumps = tube([end.above(0.9 * min(hair, end.widest)) for end in ends], hair)
    tips = without(tube([end.below(hair) for end in ends], hair), joined(needed, stumps))
    return polygons_of(shapely.union(polygons_of(without(inked, tips)), needed, grid_size=MENDING_GRID))


def widen(
    inked: MultiPolygon, thin: list[NarrowPlace], width: float, room: BaseGeometry, paper: BaseGeometry
) -> MultiPolygon:
    """Return ink whose thin places reach half of ``width`` mm from their middles, within their room.

    They do not grow onto paper that stays free either. Where paper on one side holds a line back, its middle moves to
    the other side, so that a next turn widens it there.
    """
    grown = common(tube([place.lines for place in thin], width, within=inked), room)
    grown = grown_clear_of(grown, paper)
    return polygons_of(shapely.union(inked, grown, grid_size=MENDING_GRID))


def smoothed(
    inked: MultiPolygon, widened: list[NarrowPlace], width: float, room: BaseGeometry, paper: BaseGeometry
) -> MultiPolygon:
    """Return ink whose widened lines run into what they join without notches.

    Tubes about middle lines are scalloped, as these bend from piece to piece, and end in a kink where a line swells.
    Both are filled as a disc of radius ``width`` rolls along the outline, but no further than a hair past the tubes:
    the crotches of letters stay.
    """
    skin = tube([place.lines for place in widened], width + 2 * SKIN)
    local = common(inked, shapely.buffer(skin, 2 * width, quad_segs=2))
    rolled = shapely.buffer(shapely.buffer(local, width, quad_segs=QUARTER), -width, quad_segs=QUARTER)
    filled = grown_clear_of(common(common(rolled, skin), room), paper)
    return polygons_of(shapely.union(inked, filled, grid_size=MENDING_GRID))


def without_slivers(before: MultiPolygon, after: MultiPolygon, width: float) -> MultiPolygon:
    """Return mended ink without what was put in and is narrower than ``width`` mm, such as between a lane and a notch.

    What holds any ink of ``before`` stays: there a narrow place was there before, and may have become broader.
    """
    opened = shapely.buffer(shapely.buffer(after, -width / 2, quad_segs=2), width / 2, quad_segs=QUARTER)
    parts = shapely.get_parts(without(after, opened))
    parts = parts[shapely.area(parts) > _CRUMB * shapely.length(parts)]
    shapely.prepare(before)
    narrow = parts[~shapely.intersects(before, parts)]
    if not len(narrow):
        return after
    return polygons_of(shapely.difference(after, all_joined(narrow), grid_size=MENDING_GRID))


def boxes_of(places: list[NarrowPlace], around: float = 0.0) -> Floats:
    """Return the boxes of places, (n, 4) mm, larger by ``around`` mm on every side."""
    bounds = np.array([place.lines.bounds for place in places]).reshape(-1, 4)
    return np.asarray(bounds + around * np.array([-1, -1, 1, 1]))
