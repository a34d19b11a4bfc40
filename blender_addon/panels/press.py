"""The panel of ink and push."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from .base import StampPanel, show_figures

if TYPE_CHECKING:
    from bpy.types import Object, UILayout


class STAMPWRIGHT_PT_press(StampPanel, bpy.types.Panel):
    """Ink and push, for the ticket's advice."""

    bl_label = "Ink and Push"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the ink and the press."""
        ink, press = held.ink, held.press
        show_figures(layout, press, "force", force="Push (N)")
        show_figures(layout, press, "off_centre_x", "off_centre_y", off_centre_y="Y")
        layout.prop(press, "hold")
        show_figures(layout, press, "dressed", "bow", "bead_angle", bead_angle="Beads (°)")
        show_figures(layout, ink, "film", "threshold", "density", title="Ink")
        pad = {"pad_thickness": "Thickness", "pad_young": "Stiffness (MPa)", "pad_force": "Push (N)"}
        show_figures(layout, ink, *pad, title="Ink Pad", **pad)
        bedding = {"bedding": "Thickness", "bedding_young": "Stiffness (MPa)"}
        show_figures(layout, press, *bedding, title="Paper and Bedding", **bedding)
        layout.prop(press, "solver")
