"""A tool in the viewport's toolbar: click a stamp, and its chief figures stand in the header."""

from __future__ import annotations

from typing import Any

import bpy

from ..scene import stamps


class StampTool(bpy.types.WorkSpaceTool):
    """Pick stamps, and set what matters most of them."""

    bl_space_type = "VIEW_3D"
    bl_context_mode = "OBJECT"
    bl_idname = "stampwright.stamp"
    bl_label = "Hand Stamp"
    bl_description = "Select a stamp, and size its base, handle and artwork in the viewport.\nNothing else is changed"
    bl_icon = "ops.generic.select"
    bl_widget = None
    bl_keymap = (
        ("view3d.select", {"type": "LEFTMOUSE", "value": "PRESS"}, {"properties": [("deselect_all", True)]}),
        (
            "view3d.select",
            {"type": "LEFTMOUSE", "value": "PRESS", "shift": True},
            {"properties": [("toggle", True)]},
        ),
    )

    @staticmethod
    def draw_settings(context: Any, layout: Any, _tool: Any) -> None:
        """Show base, handle, relief and turn of the stamp that is worked on, or the way to one."""
        root = stamps.stamp_of(context)
        if root is None:
            layout.operator("stampwright.make_stamp", icon="ADD")
            return
        held = root.stampwright
        layout.prop(held.base, "width", text="Base")
        layout.prop(held.handle, "height", text="Handle")
        layout.prop(held.die, "relief")
        layout.prop(held.layout, "turn", text="Turn (°)")


def register() -> None:
    """Enter the tool behind the host's own for moving, turning and scaling."""
    bpy.utils.register_tool(StampTool, after={"builtin.transform"}, separator=True)


def unregister() -> None:
    """Take it back."""
    bpy.utils.unregister_tool(StampTool)
