"""The up mark: a small nick in the side that is up, on backing and handle at the same place."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString, Point, Polygon

from ..plane.overlays import common, without
from ..solids import Solid
from ..solids.loft import loft

POINTED = 2.4
"""Height of the nick's pointed upper end over its depth; its ridge leans 23 degrees, so it prints without support."""


def up_point(outline: Polygon) -> tuple[float, float]:
    """Return where the up mark sits, mm, paper frame: the outline's uppermost point over its area centroid."""
    centre = outline.centroid
    top = outline.bounds[3]
    ray = LineString([(centre.x, outline.bounds[1] - 1), (centre.x, top + 1)])
    crossings = shapely.get_coordinates(common(ray, outline.exterior))
    return (centre.x, float(crossings[:, 1].max()) if len(crossings) else top)


def nick(outline: Polygon, *, depth: float) -> Polygon:
    """Return the outline with a V nick of ``depth`` mm at its up point; as it was where the nick would part it."""
    cut: Polygon = without(outline, Polygon(_wedge(outline, depth)))
    return cut if cut.geom_type == "Polygon" else outline


def nick_tool(outline: Polygon, *, depth: float, height: float) -> Solid:
    """Return the solid that cuts the same nick into a handle's side.

    It starts below the foot; its upper end is pointed and reaches ``height`` mm.
    """
    wedge = _wedge(outline, depth)
    tip = (wedge[1] + wedge[2]) / 2
    rings = np.stack((wedge, wedge, np.tile(tip, (3, 1))))
    straight = max(height - POINTED * depth, 0.0)
    return loft(rings, np.array([-1.0, straight, height]), name="up mark")


def _wedge(outline: Polygon, depth: float) -> NDArray[np.float64]:
    """Return the nick's corners, (3, 2), mm, counter-clockwise, the inner one first; it stands square to the side."""
    ring = outline.exterior
    place = np.array(up_point(outline))
    # The side's own course at that place, over about the nick's width.
    along = ring.project(Point(place))
    ends = [ring.interpolate((along + step) % ring.length) for step in (-depth, depth)]
    course = np.array([ends[1].x - ends[0].x, ends[1].y - ends[0].y])
    course /= np.hypot(*course)
    outward = np.array([course[1], -course[0]]) * (1 if ring.is_ccw else -1)
    course = np.array([-outward[1], outward[0]])
    beyond = depth / 2
    wide = course * (depth + beyond)
    return np.array([place - outward * depth, place + outward * beyond - wide, place + outward * beyond + wide])
