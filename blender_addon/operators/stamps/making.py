"""Making stamps from what is selected, building them again, and choosing what they are drawn with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty

from ... import loading
from ...artwork.choosing import with_choice
from ...job import changes
from ...job.naming import BEFORE
from ...job.preferences import start_job
from ...job.properties import is_drawable, set_job
from ...job.settings import read_settings
from ...live import following
from ...scene import overriding, stamps
from ...stampwright.errors import ArtworkError, StampwrightError
from ...translations import said, translated
from ..base import StampOperator, refused
from ..watching import Watching
from .placing import place_beside, take_away, view_stamp
from .settings import change_settings

if TYPE_CHECKING:
    from bpy.types import Context, Object


SIZES = ("base.width", "base.height", "base.corner_radius", "layout.width", "layout.height")
"""Settings that are the size of a stamp in the plane of the paper."""


class STAMPWRIGHT_OT_make_stamp(StampOperator, bpy.types.Operator):
    """Make a stamp that prints the selected curves, texts, flat meshes and Grease Pencil, as seen from above"""

    bl_idname = "stampwright.make_stamp"
    bl_label = "Make Stamp"
    bl_options = {"REGISTER", "UNDO"}

    job_name: StringProperty(name="Name", description="Name of the stamp; empty takes that of the first object")

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Ask for something to print."""
        if drawable(context):
            return True
        cls.poll_message_set(said("Select what shall be printed: curves, texts, flat meshes or Grease Pencil"))
        return False

    def run(self, context: Context) -> Any:
        """Make root and parts, and look at them."""
        drawn = drawable(context)
        name = self.job_name or drawn[0].name
        root = new_stamp(context, name, drawn)
        return finish(self, context, root)

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Make the stamp, and bring it into view."""
        done = self.execute(context)
        if "FINISHED" in done:
            view_stamp(context, self.stamp(context))
        return done


class STAMPWRIGHT_OT_build(Watching, StampOperator, bpy.types.Operator):
    """Build the stamp again from its artwork and settings; Esc stops"""

    bl_idname = "stampwright.build"
    bl_label = "Build Stamp"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Build, and come back when it is built."""
        root = self.stamp(context)
        following.forget_shown(root)
        following.build_now(root)

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Build beside Blender, telling how far it is."""
        try:
            root = self.stamp(context)
            following.forget_shown(root)
            return self.watch(context, root, following.start(root))
        except StampwrightError as error:
            return refused(self, str(error))

    def ended(self) -> set[str]:
        """Say what stood against it, if anything did."""
        message = following.message_at(self._number)
        return refused(self, message) if message else {"FINISHED"}


class STAMPWRIGHT_OT_apply_scale(StampOperator, bpy.types.Operator):
    """Make the stamp as large as it is shown: base and artwork take the scale of its empty, which goes back to one"""

    bl_idname = "stampwright.apply_scale"
    bl_label = "Apply Stamp Scale"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Scale the sizes in the plane; heights, and the handle, fit the hand and stay."""
        root = self.stamp(context)
        scale = loading.load("building.scaling").scale_of(root)
        if scale is None or root.parent is not None:
            raise StampwrightError("The scale differs from side to side, or comes from a parent: clear it with Alt+S")
        before = read_settings(root.stampwright)
        scaled = root.scale[:]
        root.scale = (1.0, 1.0, 1.0)
        context.view_layer.update()
        try:
            change_settings(root, {path: before[path] * scale for path in SIZES})
        except StampwrightError:
            root.scale = scaled
            raise


class STAMPWRIGHT_OT_unlock_override(StampOperator, bpy.types.Operator):
    """Let the settings of this stamp from another file be changed here; the other file keeps its own"""

    bl_idname = "stampwright.unlock_override"
    bl_label = "Edit Override"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Have the host take edits of root and parts."""
        overriding.unlock(self.stamp(context))


class STAMPWRIGHT_OT_watch(Watching, bpy.types.Operator):
    """Tell how far the stamp is that follows an edit; Esc stops"""

    bl_idname = "stampwright.watch"
    bl_label = "Watch Building"
    bl_options = {"INTERNAL"}

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Watch the build that has taken longest."""
        slowest = following.slowest()
        return {"CANCELLED"} if slowest is None else self.watch(context, *slowest)


class STAMPWRIGHT_OT_stop(StampOperator, bpy.types.Operator):
    """Stop building; the stamp stays as it is until the next edit"""

    bl_idname = "stampwright.stop"
    bl_label = "Stop Building"

    def run(self, context: Context) -> Any:
        """Stop what is under way."""
        following.stop(self.stamp(context))


class STAMPWRIGHT_OT_add_artwork(StampOperator, bpy.types.Operator):
    """Print the selected objects too"""

    bl_idname = "stampwright.add_artwork"
    bl_label = "Add Selected"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Add what is selected and not there yet."""
        root = self.stamp(context)
        held = root.stampwright
        present = {source.object for source in held.sources}
        added = [each for each in drawable(context) if each not in present]
        if not added:
            raise ArtworkError("Nothing new is selected: select the stamp's artwork together with what shall be added")
        for each in added:
            held.sources.add().object = each
        held.active_source = len(held.sources) - 1
        following.follow(root)


class STAMPWRIGHT_OT_remove_artwork(StampOperator, bpy.types.Operator):
    """Remove this object from the artwork without deleting it"""

    bl_idname = "stampwright.remove_artwork"
    bl_label = "Remove"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Take the entry off the list."""
        root = self.stamp(context)
        held = root.stampwright
        if 0 <= held.active_source < overriding.count_of_library(root, "sources"):
            # Taken off the list, it would be on it again when this file is opened.
            held.sources[held.active_source].object = None
        elif 0 <= held.active_source < len(held.sources):
            held.sources.remove(held.active_source)
            held.active_source = max(0, held.active_source - 1)
        following.follow(root)


class STAMPWRIGHT_OT_choose_ink(StampOperator, bpy.types.Operator):
    """Print what is drawn in this material, layer or collection, or leave it out; the drawing itself is not touched"""

    bl_idname = "stampwright.choose_ink"
    bl_label = "Choose Ink"
    bl_options = {"REGISTER", "UNDO"}

    sort: EnumProperty(
        name="Sort",
        description="What it is that prints or not",
        items=(
            ("material", "Material", "What is drawn in a material; without a name, in none"),
            ("layer", "Layer", "A layer of Grease Pencil"),
            ("collection", "Collection", "Objects of a collection that are in no other that prints"),
        ),
    )
    name: StringProperty(name="Name", description="Which one; all of that name in the artwork")
    prints: BoolProperty(name="Prints", description="Whether it is ink", default=True)

    def run(self, context: Context) -> Any:
        """Note the choice, and build the stamp of it."""
        root = self.stamp(context)
        with changes.quiet():
            root.stampwright.not_ink = with_choice(root.stampwright, self.sort, self.name, prints=self.prints)
        following.follow(root)


def drawable(context: Context) -> list[Object]:
    """Return the selected objects that can be printed, the active one first."""
    chosen = [each for each in context.selected_objects if is_drawable(each)]
    return sorted(chosen, key=lambda each: each is not context.active_object)


def new_stamp(context: Context, name: str, drawn: list[Object]) -> Object:
    """Return the root of a new stamp with the user's usual settings and these objects as its artwork."""
    with changes.quiet():
        root = stamps.new_stamp(context, f"{BEFORE}{name}")
        set_job(root.stampwright, start_job(context, name))
        for each in drawn:
            root.stampwright.sources.add().object = each
        place_beside(context, root, drawn)
    return root


def finish(operator: Any, context: Context, root: Object) -> Any:
    """Build a new stamp and make it the active object; take it away again when it cannot be built."""
    try:
        stamp = following.build_now(root)
    except Exception:
        # Whatever it was: nothing half made is left.
        take_away(context, root)
        raise
    if context.mode == "OBJECT":
        stamps.select_only(context, [root], root)
    if stamp.blocked:
        count = len(stamp.blocked)
        operator.report(
            {"WARNING"},
            translated("Findings that block this stamp: {count}; see Findings, or Repair").format(count=count),
        )
    return {"FINISHED"}


CLASSES = (
    STAMPWRIGHT_OT_make_stamp,
    STAMPWRIGHT_OT_build,
    STAMPWRIGHT_OT_apply_scale,
    STAMPWRIGHT_OT_unlock_override,
    STAMPWRIGHT_OT_watch,
    STAMPWRIGHT_OT_stop,
    STAMPWRIGHT_OT_add_artwork,
    STAMPWRIGHT_OT_remove_artwork,
    STAMPWRIGHT_OT_choose_ink,
)
