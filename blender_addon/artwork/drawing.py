"""Outlines from the core as curves of the scene that the user can edit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
import numpy as np
import shapely

from ..scene.units import mm_per_unit

if TYPE_CHECKING:
    from bpy.types import Context, Object


def draw_outline(context: Context, name: str, region: Any) -> Object:
    """Return a new flat filled curve with the outline of a region, mm, at true size, its origin at the frame's."""
    unit = mm_per_unit(context.scene)
    curve = bpy.data.curves.new(name, "CURVE")
    curve.dimensions = "2D"
    curve.fill_mode = "BOTH"  # type: ignore[assignment]  # stubs: modes of curves in space alone
    rings = shapely.get_rings(shapely.get_parts(region))
    for ring in rings:
        corners = shapely.get_coordinates(ring)[:-1] / unit
        spline = curve.splines.new("POLY")
        spline.points.add(len(corners) - 1)
        lifted = np.column_stack((corners, np.zeros(len(corners)), np.ones(len(corners)))).astype(np.float32)
        spline.points.foreach_set("co", lifted.ravel())
        spline.use_cyclic_u = True
    drawn = bpy.data.objects.new(name, curve)
    context.scene.collection.objects.link(drawn)
    return drawn
