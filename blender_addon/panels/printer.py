"""The panel of the printer and of what filament costs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from .. import presets
from .base import StampPanel, show_all

if TYPE_CHECKING:
    from bpy.types import Object, UILayout


class STAMPWRIGHT_PT_process(StampPanel, bpy.types.Panel):
    """The printer, and what filament costs."""

    bl_label = "Printer and Price"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the process and the price."""
        presets.show_menu(layout, "process")
        show_all(layout, held.process)
        show_all(layout, held.price)
