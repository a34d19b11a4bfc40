"""The panel of the printer and of what filament costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...translations import translated
from ..base import StampPanel, show_setting, show_settings
from . import presets

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout


class STAMPWRIGHT_PT_printer(StampPanel, bpy.types.Panel):
    """The printer and how it lays material."""

    bl_label = "Printer"
    bl_parent_id = "STAMPWRIGHT_PT_parts"
    subject = "printer"

    def draw_header_preset(self, context: Context) -> None:
        """Offer presets beside the panel's name."""
        presets.show_button(self.layout, "printer")
        self.show_help_beside(1)

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the settings of the printer."""
        printer = held.printer
        show_settings(layout, printer, "nozzle", "line_ratio", "layer")
        show_settings(
            layout, printer, "hard_nozzle", "hard_line_ratio", "hard_layer", title="Backing and Handle", drop="Hard "
        )
        show_settings(layout, printer, "brim")
        show_settings(layout, printer, "bed_width", "bed_depth", "bed_height")
        show_settings(layout, printer, "size_across", "size_up", title="Die as it comes out")
        show_settings(layout, printer, "speed_flexible", "speed_rigid", title="Speed", drop="Speed ")


class STAMPWRIGHT_PT_price(StampPanel, bpy.types.Panel):
    """What filament costs."""

    bl_label = "Price"
    bl_parent_id = "STAMPWRIGHT_PT_printer"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the price of each part's filament."""
        show_setting(layout, held.price, "currency")
        each = ("die_per_kg", "backing_per_kg", "handle_per_kg")
        show_settings(
            layout, held.price, *each, title=translated("Filament, in {currency}").format(currency=held.price.currency)
        )
        show_settings(layout, held.price, "machine_per_hour", "hand_minutes", "hand_per_hour", "margin")
