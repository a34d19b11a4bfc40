"""Pressing a stamp on paper, fully or quickly, and its push curve as an image."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty

from .. import loading
from ..job.preferences import start_job
from ..job.properties import job_of
from ..press import pressing
from ..scene import stamps
from ..scene.views import show_image
from ..stampwright.errors import StampwrightError
from ..stampwright.looks.numbers import percent
from ..translations import said
from .base import StampOperator, refused
from .watching import Watching

if TYPE_CHECKING:
    from bpy.types import Context


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
            return refused(self, str(error))

    def ended(self) -> set[str]:
        """Say what stood against it, if anything did."""
        message = pressing.message_at(self._number)
        return refused(self, message) if message else {"FINISHED"}


class STAMPWRIGHT_OT_stop_pressing(StampOperator, bpy.types.Operator):
    """Stop pressing; what is shown stays"""

    bl_idname = "stampwright.stop_pressing"
    bl_label = "Stop Pressing"

    def run(self, context: Context) -> Any:
        """Stop what is under way."""
        pressing.stop_at(self.stamp(context).session_uid)


class STAMPWRIGHT_OT_press_mesh(bpy.types.Operator):
    """Press the active mesh on paper as if it were a die, face up as it stands, and lay what it prints beside it"""

    bl_idname = "stampwright.press_mesh"
    bl_label = "Press Mesh"
    bl_options = {"REGISTER", "UNDO"}

    printed: BoolProperty(
        name="Undressed",
        description="Lay a printer's beads and bow on its face; a scanned or sculpted face may have its own",
        default=True,
    )
    full: BoolProperty(name="Full", description="Let all places of the face yield together", default=False)

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Ask for a mesh that is no part of a stamp."""
        active = context.active_object
        if active is not None and active.type == "MESH" and not active.stampwright.role:
            return True
        cls.poll_message_set(
            said("Select a mesh that is no part of a stamp: a die that was modelled, sculpted or imported")
        )
        return False

    def execute(self, context: Context) -> set[str]:
        """Press it with the settings of the scene's stamp, or those that a new stamp would have."""
        drawn, root = context.active_object, stamps.stamp_of(context)
        if drawn is None:
            return {"CANCELLED"}
        try:
            job = start_job(context, drawn.name) if root is None else job_of(root.stampwright)
            bridge = loading.load("press.pressed_mesh")
            mesh = bridge.read_mesh(drawn, context.evaluated_depsgraph_get())
            trial = bridge.press_mesh(mesh, job, textured=self.printed, full=self.full)
            bridge.lay_print(context, drawn, mesh, trial)
        except StampwrightError as error:
            return refused(self, str(error))
        whole_at = trial.report.finished.whole_at
        told = "no push that it bears prints it whole" if whole_at is None else f"{whole_at:.0f} N prints it whole"
        self.report({"INFO"}, said(f"{trial.force:.3g} N print {percent(trial.printed_share, 1)} of the face; {told}"))
        for finding in trial.report.about_face:
            self.report({"WARNING"}, f"{said(finding.message)}. {said(finding.remedy)}")
        return {"FINISHED"}


class STAMPWRIGHT_OT_draw_push_curve(StampOperator, bpy.types.Operator):
    """Draw the push curve as an image, and show it where an Image Editor is open"""

    bl_idname = "stampwright.draw_push_curve"
    bl_label = "Push Curve as Image"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Draw it; press the stamp first if that has not been done."""
        root = self.stamp(context)
        trial = pressing.known_of(root).trial or pressing.press_now(root, full=False)
        image = loading.load("press.trials").curve_as_image(root, trial)
        show_image(context, image)
        self.report({"INFO"}, said(f"Drawn as the image {image.name!r}"))


CLASSES = (
    STAMPWRIGHT_OT_press,
    STAMPWRIGHT_OT_stop_pressing,
    STAMPWRIGHT_OT_press_mesh,
    STAMPWRIGHT_OT_draw_push_curve,
)
