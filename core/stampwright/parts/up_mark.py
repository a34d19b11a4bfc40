"""The up mark: a small nick in the side that is up, on backing and handle at the same place."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from ..solids import Solid
from ..solids.loft import loft

POINTED = 2.4
"""Height of the nick's pointed upper end over its depth; its ridge leans 23 degrees, so it prints without support."""


def up_point(outline: Polygon) -> tuple[float, float]:
    """Return where the up mark sits, mm, paper frame: the outline's uppermost point over its area centroid."""
    centre = outline.centroid
    top = outline.bounds[3]
    ray = LineString([(centre.x, outline.bounds[1] - 1), (centre.x, top + 1)])
    crossings = shapely.get_coordinates(ray.intersection(outline.exterior))
    return (centre.x, float(crossings[:, 1].max()) if len(crossings) else top)


def nick(outline: Polygon, *, depth: float) -> Polygon:
    """Return the outline with a V nick of ``depth`` mm at its up point; as it was where the nick would part it."""
    cut: Polygon = outline.difference(Polygon(_wedge(up_point(outline), depth)))
    return cut if cut.geom_type == "Polygon" else outline


def nick_tool(outline: Polygon, *, depth: float, height: float) -> Solid:
    """Return the solid that cuts the same nick into a handle's side.

    It starts below the foot; its upper end is pointed and reaches ``height`` mm.
    """
    wedge = np.array(_wedge(up_point(outline), depth))[:, :2]
    tip = wedge[1] * 0.5 + wedge[2] * 0.5
    rings = np.stack((wedge, wedge, np.tile(tip, (3, 1))))
    straight = max(height - POINTED * depth, 0.0)
    return loft(rings, np.array([-1.0, straight, height]), name="up mark")


def _wedge(at: tuple[float, float], depth: float) -> list[tuple[float, float]]:
    """Return the nick's three corners, counter-clockwise, first the inner one; it reaches out past the outline."""
    x, y = at
    out = 2 * depth
    return [(x, y - depth), (x + depth + out, y + out), (x - depth - out, y + out)]
