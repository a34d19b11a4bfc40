"""Looking at findings, and writing the outline that the die carries as a curve."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import IntProperty
from mathutils import Vector

from .. import loading
from ..building.results import stamp_made
from ..press.verdict import findings_of
from ..scene.stamps import paper_frame
from ..stampwright.errors import StampwrightError
from .base import StampOperator
from .stamps.placing import view_box

if TYPE_CHECKING:
    from bpy.types import Context

LEAST_SHOWN = 6.0
"""A finding is shown with this much round it at least, mm."""


class STAMPWRIGHT_OT_view_finding(StampOperator, bpy.types.Operator):
    """Bring this place into view, from above"""

    bl_idname = "stampwright.view_finding"
    bl_label = "View Finding"

    number: IntProperty(name="Number", description="Which finding, as listed", min=0)

    def run(self, context: Context) -> Any:
        """Look at the finding's place on the paper."""
        root = self.stamp(context)
        found = findings_of(root)
        if self.number >= len(found) or found[self.number].place is None:
            raise StampwrightError("There is no such finding any more")
        left, bottom, right, top = found[self.number].place.bounds
        frame = paper_frame(root, context.scene)
        middle = frame @ Vector(((left + right) / 2, (bottom + top) / 2, 0.0))
        size = max(right - left, top - bottom, LEAST_SHOWN) * frame.to_scale().x
        view_box(context, middle, 2 * size, from_above=True)


class STAMPWRIGHT_OT_write_outline(StampOperator, bpy.types.Operator):
    """Write the outline that the die carries as a new curve on the paper; the artwork stays as it is"""

    bl_idname = "stampwright.write_outline"
    bl_label = "Write Outline as Curve"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Draw the ink as a flat curve at true size."""
        root = self.stamp(context)
        stamp = stamp_made(root)
        if stamp is None:
            raise StampwrightError("The stamp is not built yet: build it first")
        drawn = loading.load("artwork.drawing").draw_outline(context, f"{root.name} outline", stamp.inked)
        drawn.matrix_world = paper_frame(root, context.scene, in_mm=False) @ drawn.matrix_world


CLASSES = (STAMPWRIGHT_OT_view_finding, STAMPWRIGHT_OT_write_outline)
