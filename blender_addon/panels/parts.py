"""The panels of what the die is put on: backing, cushion and handle."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from .. import presets
from .base import StampPanel, show_filling

if TYPE_CHECKING:
    from bpy.types import Object, UILayout


class STAMPWRIGHT_PT_backing(StampPanel, bpy.types.Panel):
    """The stiff plate, and the cushion under the die."""

    bl_label = "Backing"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the chosen form."""
        backing = held.backing
        layout.prop(backing, "form")
        if backing.form != "none":
            layout.prop(backing, "thickness")
        if backing.form == "plate":
            layout.prop(backing, "material")
            column = layout.column(align=True)
            column.prop(backing, "seat_depth")
            if backing.seat_depth > 0:
                column.prop(backing, "clearance")
                column.prop(backing, "rim")
            layout.prop(backing, "grooves")
            if backing.grooves:
                column = layout.column(align=True)
                for name in ("groove_width", "groove_depth", "groove_spacing"):
                    column.prop(backing, name)
            show_filling(layout, backing)
        layout.prop(held.cushion, "thickness", text="Cushion (mm)")
        if held.cushion.thickness > 0:
            layout.prop(held.cushion, "young", text="Cushion Stiffness (MPa)")


class STAMPWRIGHT_PT_handle(StampPanel, bpy.types.Panel):
    """What the hand holds."""

    bl_label = "Handle"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the chosen form."""
        handle = held.handle
        presets.show_menu(layout, "handle")
        layout.prop(handle, "form")
        if handle.form == "none":
            return
        if handle.form == "lathe":
            layout.prop(held, "profile_curve")
        if handle.form == "prism":
            layout.prop(held, "outline_curve")
        layout.prop(handle, "material")
        column = layout.column(align=True)
        if handle.form != "lathe":
            column.prop(handle, "height")
        if handle.form in ("knob", "grip"):
            column.prop(handle, "grip_width")
            column.prop(handle, "neck_width")
        if handle.form != "lathe":
            column.prop(handle, "edge_radius")
        layout.prop(handle, "index")
        if handle.index != "none":
            layout.prop(handle, "index_depth")
        layout.prop(handle, "up_mark")
        layout.prop(handle, "hollow")
        if handle.hollow:
            layout.prop(handle, "wall")
        show_filling(layout, handle)
