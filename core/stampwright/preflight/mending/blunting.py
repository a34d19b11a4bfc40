"""Blunting: points end where they are broad enough, corners of throats are rounded, leavings of widening go."""

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
from .tubes import MARGIN, MENDING_GRID, QUARTER, polygons_of, tube

_CRUMB = 1e-3  # parts no broader than this on average, mm, are where two outlines lie on each other


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


def bridge_throats(inked: MultiPolygon, throats: list[NarrowPlace], width: float, paper: BaseGeometry) -> MultiPolygon:
    """Return ink whose throats are ``width`` mm wide, as far as paper that is kept allows.

    A throat is ink between two corners and nothing more. Corners cannot move outwards as outlines do, for what is
    beside them stays where it is: they are rounded off, and hollows filled that are rounder than the ink is wide.
    """
    half = width / 2
    discs = all_joined(
        shapely.buffer(shapely.points([place.at for place in throats]), half + MARGIN, quad_segs=QUARTER)
    )
    about = shapely.buffer(discs, half, quad_segs=2)
    # Beyond what is looked at, the ink has to go on as it does.
    near = joined(common(inked, shapely.buffer(about, 2 * width, quad_segs=2)), discs)
    closed = shapely.buffer(shapely.buffer(near, half, quad_segs=QUARTER), -half, quad_segs=QUARTER)
    grown = grown_clear_of(joined(discs, common(closed, about)), paper)
    return polygons_of(shapely.union(inked, grown, grid_size=MENDING_GRID))


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
