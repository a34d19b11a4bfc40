"""The panels of the parts: die, backing with cushion, and handle."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...scene import stamps
from ..base import StampPanel, show_operator, show_picker, show_setting, show_settings
from . import presets

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout


class STAMPWRIGHT_PT_parts(StampPanel, bpy.types.Panel):
    """What the stamp is made of, and what makes it."""

    bl_label = "Parts"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show how the parts are placed; each has a panel of its own within this one."""
        show_setting(layout, held, "standing")


class STAMPWRIGHT_PT_die(StampPanel, bpy.types.Panel):
    """The soft part."""

    bl_label = "Die"
    bl_parent_id = "STAMPWRIGHT_PT_parts"
    subject = "parts"

    def draw_header_preset(self, context: Context) -> None:
        """Offer presets beside the panel's name."""
        presets.show_button(self.layout, "material")
        self.show_help_beside(1)

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the die's settings and the ink's spread, which shapes its face."""
        die = held.die
        show_setting(layout, die, "material")
        show_settings(layout, die, "floor", "relief", "dressing", "shoulder", "chamfer")
        show_settings(layout, held.ink, "spread")
        layout.prop(die, "compensate_spread")
        show_settings(layout, die, "walls", "infill")


class STAMPWRIGHT_PT_backing(StampPanel, bpy.types.Panel):
    """The stiff plate, and the cushion under the die."""

    bl_label = "Backing"
    bl_parent_id = "STAMPWRIGHT_PT_parts"
    subject = "parts"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the settings of the chosen form."""
        backing = held.backing
        show_setting(layout, backing, "form")
        if backing.form == "plate":
            show_setting(layout, backing, "material")
        if backing.form != "none":
            show_settings(layout, backing, "thickness")
        if backing.form == "plate":
            seat = ("seat_depth", "clearance", "chamfer", "rim") if backing.seat_depth > 0 else ("seat_depth",)
            show_settings(layout, backing, *seat)
            show_settings(layout, backing, "walls", "infill")
        show_settings(layout, held.cushion, "thickness")
        if held.cushion.thickness > 0:
            show_settings(layout, held.cushion, "stiffness")


class STAMPWRIGHT_PT_grooves(StampPanel, bpy.types.Panel):
    """What takes up surplus glue."""

    bl_label = "Glue Grooves"
    bl_parent_id = "STAMPWRIGHT_PT_backing"

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show with a plate to cut them into."""
        root = stamps.stamp_of(context)
        return root is not None and root.stampwright.backing.form == "plate"

    def draw_header(self, context: Context) -> None:
        """Switch the grooves on and off beside the panel's name."""
        root = stamps.stamp_of(context)
        if root is not None:
            self.layout.prop(root.stampwright.backing, "grooves", text="")

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show how wide, how deep and how far apart they are."""
        layout.active = held.backing.grooves
        show_settings(layout, held.backing, "groove_width", "groove_depth", "groove_spacing", drop="Groove ")


class STAMPWRIGHT_PT_handle(StampPanel, bpy.types.Panel):
    """What the hand holds."""

    bl_label = "Handle"
    bl_parent_id = "STAMPWRIGHT_PT_parts"
    subject = "handle"

    def draw_header_preset(self, context: Context) -> None:
        """Offer presets beside the panel's name."""
        presets.show_button(self.layout, "handle")
        self.show_help_beside(1)

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the settings of the chosen form."""
        handle = held.handle
        show_setting(layout, handle, "form")
        if handle.form == "none":
            return
        if handle.form == "turned":
            show_picker(layout, held, "profile_curve")
        if handle.form == "straight":
            show_picker(layout, held, "outline_curve")
        if handle.form in ("turned", "straight"):
            show_operator(layout, "stampwright.keep_handle", icon="ASSET_MANAGER")
        show_setting(layout, handle, "material")
        if handle.form != "turned":
            waist = ("grip_width", "neck_width") if handle.form in ("knob", "grip") else ()
            show_settings(layout, handle, "height", *waist, "edge_radius")
        show_setting(layout, handle, "index")
        if handle.index != "none":
            show_settings(layout, handle, "index_depth")
        layout.prop(handle, "up_mark")
        layout.prop(handle, "hollow")
        if handle.hollow:
            show_settings(layout, handle, "hollow_wall")
        show_settings(layout, handle, "walls", "infill")
