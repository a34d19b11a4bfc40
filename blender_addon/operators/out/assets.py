"""Assets: those that come with the extension into this file, and an artist's own handle among them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ... import loading
from ...stampwright.errors import StampwrightError
from ..base import StampOperator

if TYPE_CHECKING:
    from bpy.types import Context


class STAMPWRIGHT_OT_add_assets(bpy.types.Operator):
    """Add finishes, outlines of bases and nodes for the face to this file's assets, for the asset browser"""

    bl_idname = "stampwright.add_assets"
    bl_label = "Add Stamp Assets"
    bl_options = {"REGISTER", "UNDO"}

    def execute(self, context: Context) -> set[str]:
        """Make what is missing, and mark all of it."""
        given = loading.load("assets.shelf").add_assets(context)
        self.report({"INFO"}, f"{len(given)} assets: see Current File in the asset browser")
        return {"FINISHED"}


class STAMPWRIGHT_OT_keep_handle(StampOperator, bpy.types.Operator):
    """Mark the curve that the handle is made from as an asset, to be used for other stamps"""

    bl_idname = "stampwright.keep_handle"
    bl_label = "Keep Handle as Asset"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Mark the profile, or the outline, that is picked."""
        held = self.stamp(context).stampwright
        drawn = held.profile_curve if held.handle.form == "turned" else held.outline_curve
        if drawn is None or held.handle.form not in ("turned", "straight"):
            raise StampwrightError("The handle is not made from a curve: choose Turned or Straight, and pick one")
        told = "Profile of a turned handle" if held.handle.form == "turned" else "Outline of a straight handle"
        loading.load("assets.shelf").keep_handle(drawn, told)


CLASSES = (STAMPWRIGHT_OT_add_assets, STAMPWRIGHT_OT_keep_handle)
