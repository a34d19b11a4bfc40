"""The panel of the die."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from .. import presets
from .base import StampPanel, show_figures

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout


class STAMPWRIGHT_PT_die(StampPanel, bpy.types.Panel):
    """The soft part."""

    bl_label = "Die"

    def draw_header_preset(self, context: Context) -> None:
        """Offer presets beside the panel's name."""
        presets.show_button(self.layout, "material")

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the die's figures and the ink's spread, which shapes its face."""
        die = held.die
        layout.prop(die, "material")
        show_figures(layout, die, "floor", "relief", "dressing", "shoulder")
        show_figures(layout, held.ink, "spread", spread="Ink Spread")
        layout.prop(die, "compensate_spread")
        show_figures(layout, die, "walls", "infill")
