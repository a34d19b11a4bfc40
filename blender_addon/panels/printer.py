"""The panel of the printer and of what filament costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from . import presets
from .base import StampPanel, show_figures

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout


class STAMPWRIGHT_PT_printer(StampPanel, bpy.types.Panel):
    """The printer and how it lays material."""

    bl_label = "Printer"

    def draw_header_preset(self, context: Context) -> None:
        """Offer presets beside the panel's name."""
        presets.show_button(self.layout, "printer")

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the settings of the printer."""
        printer = held.printer
        show_figures(layout, printer, "nozzle", "line_ratio", "layer", line_ratio="Pass (× bore)")
        bed = {"bed_width": "Bed Width", "bed_depth": "Depth", "bed_height": "Height"}
        show_figures(layout, printer, *bed, **bed)
        speeds = {"speed_flexible": "Flexible (mm/s)", "speed_rigid": "Rigid (mm/s)"}
        show_figures(layout, printer, *speeds, title="Speed", **speeds)


class STAMPWRIGHT_PT_price(StampPanel, bpy.types.Panel):
    """What filament costs."""

    bl_label = "Price"
    bl_parent_id = "STAMPWRIGHT_PT_printer"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the price of each part's filament."""
        layout.prop(held.price, "currency")
        each = {"die_per_kg": "Die", "backing_per_kg": "Backing", "handle_per_kg": "Handle"}
        show_figures(layout, held.price, *each, title=f"{held.price.currency} per kg of Filament", **each)
