"""Entries in the host's menus: Add, Object, right click, File; what they say is what F3 finds."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import bpy

from ..scene import stamps
from ..scene.meaning import KEPT_AS
from ..translations import CONTEXT, translated

if TYPE_CHECKING:
    from bpy.types import Context


class STAMPWRIGHT_MT_add(bpy.types.Menu):
    """Ways to a new stamp."""

    bl_idname = "STAMPWRIGHT_MT_add"
    bl_label = "Hand Stamp"
    bl_translation_context = CONTEXT

    def draw(self, _context: Context) -> None:
        """List them, what is quickest for an empty scene last."""
        layout = self.layout
        layout.operator_context = "INVOKE_REGION_WIN"
        layout.operator("stampwright.make_stamp", text="Stamp from Selection", icon="RESTRICT_SELECT_OFF")
        layout.operator(
            "stampwright.stamp_from_template", text="Stamp from Template: Text, Address, QR Code...", icon="FILE_TEXT"
        )
        layout.operator("stampwright.import_artwork", text="Stamp from File: Logo, Image, Scan...", icon="IMPORT")


PANELS: tuple[tuple[str, str, Any], ...] = (
    ("base", "Base: Size, Shape, Border, Roller...", "MESH_CIRCLE"),
    ("artwork", "Artwork: Size, Margin, Turn, Font...", "OUTLINER_OB_CURVE"),
    ("reversal", "Mirror, Flip or Reverse...", "MOD_MIRROR"),
    ("ink_choice", "Which Colours and Layers Are Ink...", "CHECKBOX_HLT"),
    ("inks", "Several Inks, Two Colours...", "COLOR"),
    ("findings", "Check What Will Not Print...", "ERROR"),
    ("press", "Impression: Preview, Push, Pressure...", "IMAGE_DATA"),
    ("ink", "Ink, Ink Pad and Paper...", "BRUSH_DATA"),
    ("die", "Die: Relief Depth, Emboss, Soft Rubber...", "MESH_GRID"),
    ("face", "Face: Texture, Engrave, Grey Tones...", "TEXTURE"),
    ("backing", "Backing: Plate, Glue, Cushion...", "MESH_PLANE"),
    ("handle", "Handle: Knob, Grip, Height, Hollow...", "MESH_CONE"),
    ("printer", "Printer: Nozzle, Layer, Bed, Filament...", "TOOL_SETTINGS"),
    ("price", "Price: Filament, Machine, Work...", "SPREADSHEET"),
    ("measures", "Measures: Weight, Cost, Printing Time...", "DRIVER_DISTANCE"),
    ("prints", "Test Die, Calibrate, Sliced G-Code...", "VIEWZOOM"),
    ("pictures", "Pictures: Render, Mock-Up, Film...", "RENDER_STILL"),
)
"""Panels that a menu opens where the mouse is, by the words that people have for what stands in them."""


class STAMPWRIGHT_MT_settings(bpy.types.Menu):
    """Every panel of the stamp, opened where the mouse is."""

    bl_idname = "STAMPWRIGHT_MT_settings"
    bl_label = "Settings"
    bl_translation_context = CONTEXT

    def draw(self, _context: Context) -> None:
        """List the panels in the order of the job."""
        layout = self.layout
        layout.operator_context = "INVOKE_REGION_WIN"
        for name, words, icon in PANELS:
            shown: Any = layout.operator("wm.call_panel", text=translated(words), translate=False, icon=icon)
            shown.name, shown.keep_open = f"STAMPWRIGHT_PT_{name}", True


class STAMPWRIGHT_MT_object(bpy.types.Menu):
    """What can be done with a stamp, or to become one."""

    bl_idname = "STAMPWRIGHT_MT_object"
    bl_label = "Hand Stamp"
    bl_translation_context = CONTEXT

    def draw(self, context: Context) -> None:
        """List what applies to the active object."""
        layout = self.layout
        layout.operator_context = "INVOKE_REGION_WIN"
        layout.operator("stampwright.make_stamp", text="Make Rubber Stamp", icon="ADD")
        if stamps.stamp_of(context) is None:
            return
        layout.operator("stampwright.add_artwork", text="Add Selected to Artwork")
        layout.operator("stampwright.part_into_inks", icon="COLOR")
        layout.menu("STAMPWRIGHT_MT_settings", icon="PREFERENCES")
        if any(KEPT_AS in each for each in context.selected_objects):
            layout.operator("stampwright.use_asset", icon="ASSET_MANAGER")
        layout.separator()
        layout.operator("stampwright.select_stamp", icon="RESTRICT_SELECT_OFF")
        layout.operator("stampwright.duplicate_stamp", icon="DUPLICATE")
        layout.operator("stampwright.build", text="Rebuild Stamp", icon="FILE_REFRESH")
        layout.operator("stampwright.delete_stamp", icon="TRASH")
        layout.separator()
        layout.operator("stampwright.repair", text="Repair Thin Lines and Gaps", icon="MODIFIER")
        layout.operator("stampwright.press", text="Press on Paper", icon="PLAY")
        layout.operator("stampwright.sculpt_face", text="Sculpt Relief", icon="SCULPTMODE_HLT")
        layout.operator("stampwright.picture_beside", text="Product Picture", icon="RENDER_STILL")
        layout.operator("stampwright.export_files", text="Export Stamp for 3D Printing...", icon="EXPORT")
        layout.operator("stampwright.add_assets", icon="ASSET_MANAGER")
        layout.operator("stampwright.set_up_library")
        layout.separator()
        layout.operator("stampwright.open_guide", text="Guide", icon="HELP")


def _in_add(menu: Any, context: Context) -> None:
    if context.mode == "OBJECT":
        menu.layout.menu("STAMPWRIGHT_MT_add", icon="MOD_MIRROR")


def _in_object(menu: Any, _context: Context) -> None:
    menu.layout.separator()
    menu.layout.menu("STAMPWRIGHT_MT_object", icon="MOD_MIRROR")


def _in_import(menu: Any, _context: Context) -> None:
    menu.layout.operator("stampwright.import_artwork", text="Artwork for Stamps (.svg, .png, ...)")


def _in_export(menu: Any, _context: Context) -> None:
    menu.layout.operator("stampwright.export_files", text="Hand Stamp (.stl, .3mf, ticket)")
    menu.layout.operator("stampwright.export_finished", text="Finished Hand Stamp (.glb, .usdz, .obj)")


def _in_assets(menu: Any, context: Context) -> None:
    if getattr(context, "asset", None) is not None:
        menu.layout.separator()
        menu.layout.operator("stampwright.use_asset", icon="MOD_MIRROR")


_CLASSES = (STAMPWRIGHT_MT_add, STAMPWRIGHT_MT_settings, STAMPWRIGHT_MT_object)

_PLACES: tuple[tuple[str, Callable[[Any, Context], None]], ...] = (
    ("VIEW3D_MT_add", _in_add),
    ("VIEW3D_MT_object", _in_object),
    ("VIEW3D_MT_object_context_menu", _in_object),
    ("TOPBAR_MT_file_import", _in_import),
    ("TOPBAR_MT_file_export", _in_export),
    ("ASSETBROWSER_MT_context_menu", _in_assets),
)
"""Menus of the host, and what is drawn behind their own entries."""


def register() -> None:
    """Enter our menus, and entries in the host's."""
    for each in _CLASSES:
        bpy.utils.register_class(each)
    for name, draw in _PLACES:
        getattr(bpy.types, name).append(draw)


def unregister() -> None:
    """Take them back."""
    for name, draw in _PLACES:
        getattr(bpy.types, name).remove(draw)
    for each in reversed(_CLASSES):
        bpy.utils.unregister_class(each)
