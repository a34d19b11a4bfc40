"""The viewports that are open: having them drawn anew, and what plain solids are coloured by in them."""

from __future__ import annotations

import bpy


def redraw() -> None:
    """Have every viewport draw anew, sidebar and overlay with it."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                area.tag_redraw()


def colour_views(*, by_pressure: bool) -> None:
    """Have the viewports that show plain solids show colours of vertices, or what they show as they come."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            for space in area.spaces:
                if not isinstance(space, bpy.types.SpaceView3D):
                    continue
                if by_pressure and space.shading.color_type == "MATERIAL":
                    space.shading.color_type = "VERTEX"
                elif not by_pressure and space.shading.color_type == "VERTEX":
                    space.shading.color_type = "MATERIAL"
