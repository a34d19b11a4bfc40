"""The panel of ink and push."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from .base import StampPanel, show_all

if TYPE_CHECKING:
    from bpy.types import Object, UILayout


class STAMPWRIGHT_PT_press(StampPanel, bpy.types.Panel):
    """Ink and push, for the ticket's advice."""

    bl_label = "Ink and Push"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the ink and the press."""
        show_all(layout, held.ink, leave_out=("spread",))
        show_all(layout, held.press)
