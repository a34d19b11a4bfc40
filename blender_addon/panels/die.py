"""The panel of the die."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from .. import presets
from .base import StampPanel, show_filling

if TYPE_CHECKING:
    from bpy.types import Object, UILayout


class STAMPWRIGHT_PT_die(StampPanel, bpy.types.Panel):
    """The soft part."""

    bl_label = "Die"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the die's figures and the ink's spread, which shapes its face."""
        presets.show_menu(layout, "material")
        die = held.die
        layout.prop(die, "material")
        column = layout.column(align=True)
        for name in ("floor", "relief", "dressing"):
            column.prop(die, name)
        layout.prop(die, "shoulder")
        layout.prop(held.ink, "spread", text="Ink Spread (mm)")
        layout.prop(die, "compensate_spread")
        show_filling(layout, die)
