"""Choosing presets as elsewhere in Blender: a button in the panel's header, behind it a list that one's own join."""

from __future__ import annotations

from typing import TYPE_CHECKING

import bpy

from ...job.presets import SORTS, own_presets, presets_of

if TYPE_CHECKING:
    from bpy.types import Context, Panel, UILayout
else:
    # As with the other panels: the host takes it as it is registered.
    Panel = object


def show_button(layout: UILayout, sort: str) -> None:
    """Show, in a panel's header, the button that offers the presets of a sort."""
    row = layout.row()
    row.emboss = "NONE"
    row.popover(panel=f"STAMPWRIGHT_PT_{sort}_presets", icon="PRESET", text="")


class _PresetList(Panel):
    """The list behind the button: presets, and a field to add one."""

    bl_space_type = "PROPERTIES"
    bl_region_type = "HEADER"
    sort = ""

    def draw(self, context: Context) -> None:
        """Show each preset as a line to press, as the host does."""
        layout = self.layout
        layout.emboss = "PULLDOWN_MENU"
        column = layout.column(align=True)
        own = own_presets(self.sort)
        for label in presets_of(self.sort):
            row = column.row(align=True)
            row.operator(f"stampwright.use_{self.sort}_preset", text=label, translate=False).preset = label
            if label in own:
                removed = row.operator("stampwright.remove_preset", text="", icon="REMOVE")
                removed.sort, removed.label = self.sort, label
        layout.separator()
        row = layout.row()
        field = row.row()
        field.emboss = "NORMAL"
        field.prop(context.window_manager, "preset_name", text="")
        added = row.operator("stampwright.add_preset", text="", icon="ADD")
        added.sort, added.label = self.sort, context.window_manager.preset_name


def _list_panel(sort: str) -> type:
    name = f"STAMPWRIGHT_PT_{sort}_presets"
    about = {"__doc__": f"Presets for the {sort}.", "bl_label": f"{sort.title()} Presets", "sort": sort}
    return type(name, (_PresetList, bpy.types.Panel), {**about, "__module__": __name__})


CLASSES = tuple(_list_panel(sort) for sort in SORTS)
