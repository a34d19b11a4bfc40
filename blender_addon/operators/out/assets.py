"""Assets: into this file, into a library of the user's, and from either to a stamp."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty

from ... import loading
from ...assets import entry
from ...scene import stamps
from ...stampwright.errors import StampwrightError
from ...translations import CONTEXT, said, translated
from ..base import StampOperator, refused
from ..stamps.settings import change_settings

if TYPE_CHECKING:
    from bpy.types import Context


class STAMPWRIGHT_OT_add_assets(bpy.types.Operator):
    """Add handles, bases, finishes and nodes for the face to this file's assets, for the asset browser"""

    bl_idname = "stampwright.add_assets"
    bl_label = "Add Stamp Assets"
    bl_options = {"REGISTER", "UNDO"}

    def execute(self, context: Context) -> set[str]:
        """Make what is missing, and mark all of it."""
        given = loading.load("assets.shelf").add_assets(context)
        told = translated("{count} assets: see Current File in the asset browser").format(count=len(given))
        self.report({"INFO"}, told)
        return {"FINISHED"}


class STAMPWRIGHT_OT_set_up_library(bpy.types.Operator):
    """Write handles, bases, finishes and nodes into an asset library, and enter its folder into the preferences"""

    bl_idname = "stampwright.set_up_library"
    bl_label = "Set Up Asset Library"

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Ask first: nothing is entered into the preferences unsaid."""
        return set(context.window_manager.invoke_props_dialog(self, width=460))

    def draw(self, _context: Context) -> None:
        """Say what is written where."""
        column = self.layout.column()
        column.label(text="Handles, bases, finishes and nodes are written into this folder:", text_ctxt=CONTEXT)
        column.label(text=str(entry.place()), translate=False)
        column.label(text="Preferences, File Paths, Asset Libraries then lists it as Stampwright.", text_ctxt=CONTEXT)

    def execute(self, context: Context) -> set[str]:
        """Write it, and enter it."""
        try:
            folder = loading.load("assets.library").write_library(context)
        except StampwrightError as error:
            return refused(self, str(error))
        entry.enter(context)
        told = translated("The asset library is in {folder}: see Stampwright in the asset browser")
        self.report({"INFO"}, told.format(folder=folder))
        return {"FINISHED"}


class STAMPWRIGHT_OT_leave_library(bpy.types.Operator):
    """Take the asset library out of the preferences again; its files stay"""

    bl_idname = "stampwright.leave_library"
    bl_label = "Remove Asset Library"

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Ask for one that is entered."""
        if entry.entry(context) is None:
            cls.poll_message_set(said("The asset library is not in the preferences"))
            return False
        return True

    def execute(self, context: Context) -> set[str]:
        """Take it out."""
        entry.take_out(context)
        return {"FINISHED"}


class STAMPWRIGHT_OT_keep_handle(StampOperator, bpy.types.Operator):
    """Mark the curve that the handle is made from as an asset, to be used for other stamps"""

    bl_idname = "stampwright.keep_handle"
    bl_label = "Keep Handle as Asset"
    bl_options = {"REGISTER", "UNDO"}

    to_library: BoolProperty(
        name="Into the Library",
        description="Write it into the asset library as well, where every file finds it",
        default=False,
    )
    overwrite: BoolProperty(
        name="Overwrite", description="Replace a handle of the same name in the library", default=False
    )

    def run(self, context: Context) -> Any:
        """Mark the profile, or the outline, that is picked."""
        root = self.stamp(context)
        shelf, form = loading.load("assets.shelf"), root.stampwright.handle.form
        holder, _ = shelf.OWN_CURVES.get(form, ("", ""))
        drawn = getattr(root.stampwright, holder) if holder else None
        if drawn is None:
            raise StampwrightError("The handle is not made from a curve: choose Turned or Straight, and pick one")
        shelf.keep_handle(root, drawn, context)
        if self.to_library:
            path = loading.load("assets.library").write_own(drawn, overwrite=self.overwrite)
            self.report({"INFO"}, str(path))


class STAMPWRIGHT_OT_use_asset(StampOperator, bpy.types.Operator):
    """Give the stamp this handle, base or finish, or the selected copy of one; a finish goes to the active part"""

    bl_idname = "stampwright.use_asset"
    bl_label = "Use for Stamp"
    bl_options = {"REGISTER", "UNDO"}

    library: StringProperty(
        name="Library", description="File that the asset is in; empty for this file", subtype="FILE_PATH"
    )
    asset: StringProperty(name="Asset", description="Name of the asset; empty for the one chosen in the asset browser")
    kind: EnumProperty(
        name="Kind",
        description="What the asset is in Blender",
        items=(
            ("OBJECT", "Object", "A handle, or the outline of a base"),
            ("MATERIAL", "Material", "A finish"),
        ),
    )

    def run(self, context: Context) -> Any:
        """Take the asset, and give it to the stamp."""
        using = loading.load("assets.using")
        library, kind, name = self.library, self.kind, self.asset
        dropped = None
        if not name:
            chosen = getattr(context, "asset", None)
            if chosen is not None:
                library, kind, name = chosen.full_library_path, chosen.id_type, chosen.name
            else:
                dropped = using.dropped_among(context.selected_objects)
                if dropped is None:
                    raise StampwrightError("Choose an asset in the asset browser, or select a copy that was dropped")
        root = self.stamp(context)
        given = dropped or using.asset_in(library and str(Path(bpy.path.abspath(library))), kind, name)
        using.use(context, root, given, change_settings)
        if dropped is not None:
            using.put_away(context, dropped)
            stamps.select_only(context, [root], root)


CLASSES = (
    STAMPWRIGHT_OT_add_assets,
    STAMPWRIGHT_OT_set_up_library,
    STAMPWRIGHT_OT_leave_library,
    STAMPWRIGHT_OT_keep_handle,
    STAMPWRIGHT_OT_use_asset,
)
