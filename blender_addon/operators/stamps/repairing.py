"""What is done about findings: repairing all or one, leaving the artwork as it is drawn, accepting a kind."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, IntProperty, StringProperty

from ... import loading
from ...building.results import can_repair
from ...job.settings import read_settings
from ...press.verdict import findings_of
from ...remedy import looking
from ...stampwright.errors import StampwrightError
from ..base import StampOperator, refused
from ..watching import Watching
from .settings import change_settings

if TYPE_CHECKING:
    from bpy.types import Context

SAME = 1e-3
"""Points that tell findings are one when they are no farther apart, mm."""


class STAMPWRIGHT_OT_repair(StampOperator, bpy.types.Operator):
    """Repair all that blocks or warns, as far as Limits and Repair says; the artwork itself is not touched"""

    bl_idname = "stampwright.repair"
    bl_label = "Repair"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Have the stamp built from repaired artwork."""
        change_settings(self.stamp(context), {"preflight.repair": True})


class STAMPWRIGHT_OT_repair_finding(StampOperator, bpy.types.Operator):
    """Repair this one, as far as Limits and Repair says, and leave the rest; the artwork itself is not touched"""

    bl_idname = "stampwright.repair_finding"
    bl_label = "Repair Finding"
    bl_options = {"REGISTER", "UNDO"}

    number: IntProperty(name="Number", description="Which finding, as listed", min=0)

    def run(self, context: Context) -> Any:
        """Add the finding's spot to those at which the artwork is repaired."""
        root = self.stamp(context)
        found = findings_of(root)
        if self.number >= len(found):
            raise StampwrightError("There is no such finding any more")
        finding = found[self.number]
        if not can_repair(root, finding):
            raise StampwrightError(f"Repair does not take this on. {finding.remedy or finding.message}")
        spot = loading.load("stampwright.preflight").spot_of(finding.place)
        before = read_settings(root.stampwright)["preflight.repair_at"]
        if any(abs(spot[0] - x) + abs(spot[1] - y) < SAME for x, y in before):
            raise StampwrightError("Repair has done here what it can: draw the rest yourself")
        change_settings(root, {"preflight.repair_at": (*before, spot)})


class STAMPWRIGHT_OT_leave_as_drawn(StampOperator, bpy.types.Operator):
    """Repair nothing any more: the stamp prints the artwork as it is drawn"""

    bl_idname = "stampwright.leave_as_drawn"
    bl_label = "Leave as Drawn"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Forget every repair."""
        change_settings(self.stamp(context), {"preflight.repair": False, "preflight.repair_at": ()})


class STAMPWRIGHT_OT_accept(StampOperator, bpy.types.Operator):
    """Accept findings of this kind, which then block the stamp no more, or refuse them again"""

    bl_idname = "stampwright.accept"
    bl_label = "Accept Findings"
    bl_options = {"REGISTER", "UNDO"}

    kind: StringProperty(name="Kind", description="Kind of finding that shall not block")
    accepted: BoolProperty(name="Accepted", description="Whether they are accepted, or block again", default=True)

    def run(self, context: Context) -> Any:
        """Add the kind to those that are accepted, or take it away."""
        root = self.stamp(context)
        accepted = [kind for kind in read_settings(root.stampwright)["preflight.accept"] if kind != self.kind]
        if self.accepted and self.kind:
            accepted.append(self.kind)
        change_settings(root, {"preflight.accept": tuple(accepted)})


class STAMPWRIGHT_OT_find_ways(Watching, StampOperator, bpy.types.Operator):
    """Look for settings with which nothing blocks the stamp any more, each tried before it is said; Esc stops"""

    bl_idname = "stampwright.find_ways"
    bl_label = "What Makes It Pass"

    room = looking

    def run(self, context: Context) -> Any:
        """Look, and come back when all is tried."""
        looking.look_now(self.stamp(context))

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Look beside Blender, telling how far it is."""
        try:
            root = self.stamp(context)
            return self.watch(context, root, looking.start(root))
        except StampwrightError as error:
            return refused(self, str(error))

    def ended(self) -> set[str]:
        """Say what stood against it, if anything did."""
        message = looking.message_at(self._number)
        return refused(self, message) if message else {"FINISHED"}


class STAMPWRIGHT_OT_take_way(StampOperator, bpy.types.Operator):
    """Set what this way to pass says; the artwork itself is not touched"""

    bl_idname = "stampwright.take_way"
    bl_label = "Take This Way"
    bl_options = {"REGISTER", "UNDO"}

    number: IntProperty(name="Number", description="Which way, as listed", min=0)

    def run(self, context: Context) -> Any:
        """Set all settings of the way together."""
        root = self.stamp(context)
        ways = looking.ways_of(root)
        if ways is None or self.number >= len(ways):
            raise StampwrightError("There is no such way any more: look for ways again")
        change_settings(root, dict(ways[self.number].settings))


CLASSES = (
    STAMPWRIGHT_OT_find_ways,
    STAMPWRIGHT_OT_take_way,
    STAMPWRIGHT_OT_repair,
    STAMPWRIGHT_OT_repair_finding,
    STAMPWRIGHT_OT_leave_as_drawn,
    STAMPWRIGHT_OT_accept,
)
