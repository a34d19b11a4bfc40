"""Stamps handled whole, as one thing of the scene: selected, duplicated, deleted; and the guide's page on them."""

from __future__ import annotations

import webbrowser
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import StringProperty

from ...guide import address_of
from ...live import following
from ...scene import stamps
from ...translations import said
from ..base import StampOperator
from ..stamps.placing import place_beside, take_away

if TYPE_CHECKING:
    from bpy.types import Context, Object


class STAMPWRIGHT_OT_select_stamp(StampOperator, bpy.types.Operator):
    """Select the whole stamp: its empty, which becomes active, and every part under it"""

    bl_idname = "stampwright.select_stamp"
    bl_label = "Select Whole Stamp"
    bl_options = {"REGISTER", "UNDO"}
    works_in_edit_mode = False

    def run(self, context: Context) -> Any:
        """Select it, and nothing else."""
        _select(context, self.stamp(context))


class STAMPWRIGHT_OT_duplicate_stamp(StampOperator, bpy.types.Operator):
    """Make a second stamp with the same artwork and settings, in a collection of its own beside this one"""

    bl_idname = "stampwright.duplicate_stamp"
    bl_label = "Duplicate Stamp"
    bl_options = {"REGISTER", "UNDO"}
    works_in_edit_mode = False

    def run(self, context: Context) -> Any:
        """Copy root and parts with all that hangs on them, and stand the copy beside."""
        root = self.stamp(context)
        collection = bpy.data.collections.new(root.name)
        context.scene.collection.children.link(collection)
        twin = _copied(root, collection)
        drawn = stamps.drawn_by(root)
        for child in [each for each in root.children if each not in drawn]:
            part = _copied(child, collection)
            part.parent = twin
            part.matrix_parent_inverse = child.matrix_parent_inverse
        place_beside(context, twin, stamps.drawn_by(root))
        twin.location.z = root.location.z
        following.build_now(twin)
        _select(context, twin)


class STAMPWRIGHT_OT_delete_stamp(StampOperator, bpy.types.Operator):
    """Delete the stamp with every part of it; the artwork stays"""

    bl_idname = "stampwright.delete_stamp"
    bl_label = "Delete Stamp"
    bl_options = {"REGISTER", "UNDO"}
    works_in_edit_mode = False

    def run(self, context: Context) -> Any:
        """Take root, children and meshes away, and the collection when nothing else is in it."""
        take_away(context, self.stamp(context))


class STAMPWRIGHT_OT_open_guide(bpy.types.Operator):
    """Read about this in the guide, in the browser; the pages came with the extension"""

    bl_idname = "stampwright.open_guide"
    bl_label = "Open Guide"
    bl_options = {"INTERNAL"}

    subject: StringProperty(name="Subject", description="What to read about; empty begins at the start")

    def execute(self, _context: Context) -> set[str]:
        """Open the page."""
        address = address_of(self.subject)
        if not webbrowser.open(address):
            self.report({"WARNING"}, said(f"No browser was found to show the page: it is {address}"))
        return {"FINISHED"}


def _copied(each: Object, collection: Any) -> Object:
    twin: Any = each.copy()
    # A copy of what overrides another file's stamp is one of this file.
    twin.make_local(clear_liboverride=True)
    if each.data is not None:
        twin.data = each.data.copy()
    collection.objects.link(twin)
    copied: Object = twin
    return copied


def _select(context: Context, root: Object) -> None:
    stamps.select_only(context, [each for each in (root, *root.children) if each.visible_get()], root)


CLASSES = (
    STAMPWRIGHT_OT_select_stamp,
    STAMPWRIGHT_OT_duplicate_stamp,
    STAMPWRIGHT_OT_delete_stamp,
    STAMPWRIGHT_OT_open_guide,
)
