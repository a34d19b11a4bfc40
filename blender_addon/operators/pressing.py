"""Pressing a stamp on paper, fully or quickly, and its press curve as an image."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty

from .. import loading, pressing
from ..figures import in_labels
from ..stampwright.errors import StampwrightError
from .base import StampOperator
from .making import Watching

if TYPE_CHECKING:
    from bpy.types import Context, Image


class STAMPWRIGHT_OT_press(Watching, StampOperator, bpy.types.Operator):
    """Press the stamp with the full solver, and find what would help and what each assumption does; Esc stops"""

    bl_idname = "stampwright.press"
    bl_label = "Press Fully"

    room = pressing

    full: BoolProperty(
        name="Full",
        description="Let all places of the face yield together; without it each stands on a spring of its own",
        default=True,
    )

    def run(self, context: Context) -> Any:
        """Press, and come back when it is done."""
        pressing.press_now(self.stamp(context), full=self.full)

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Press beside Blender, telling how far it is."""
        try:
            root = self.stamp(context)
            return self.watch(context, root, pressing.start(root, full=self.full))
        except StampwrightError as error:
            self.report({"ERROR"}, in_labels(str(error)))
            return {"CANCELLED"}

    def ended(self) -> set[str]:
        """Say what stood against it, if anything did."""
        message = pressing.message_at(self._number)
        if message:
            self.report({"ERROR"}, in_labels(message))
        return {"CANCELLED"} if message else {"FINISHED"}


class STAMPWRIGHT_OT_stop_pressing(StampOperator, bpy.types.Operator):
    """Stop pressing; what is shown stays"""

    bl_idname = "stampwright.stop_pressing"
    bl_label = "Stop Pressing"

    def run(self, context: Context) -> Any:
        """Stop what is under way."""
        pressing.stop_at(self.stamp(context).session_uid)


class STAMPWRIGHT_OT_draw_press_curve(StampOperator, bpy.types.Operator):
    """Draw the press curve as an image, and show it where an Image Editor is open"""

    bl_idname = "stampwright.draw_press_curve"
    bl_label = "Press Curve as Image"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Draw it; press the stamp first if that has not been done."""
        root = self.stamp(context)
        trial = pressing.known_of(root).trial or pressing.press_now(root, full=False)
        image = loading.bridge("pressing").curve_as_image(root, trial)
        _show_image(context, image)
        self.report({"INFO"}, f"Drawn as the image {image.name!r}")


def _show_image(context: Context, image: Image) -> None:
    """Show an image in the first Image Editor that is open, all of it."""
    for window in context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "IMAGE_EDITOR":
                area.spaces.active.image = image
                region = next(each for each in area.regions if each.type == "WINDOW")
                with context.temp_override(window=window, area=area, region=region):
                    bpy.ops.image.view_all(fit_view=True)
                return


CLASSES = (STAMPWRIGHT_OT_press, STAMPWRIGHT_OT_stop_pressing, STAMPWRIGHT_OT_draw_press_curve)
