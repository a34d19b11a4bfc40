"""Sculpting the face: into sculpt mode and out again, the sculpt to files and from them, and away with it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy_extras.io_utils import ExportHelper, ImportHelper

from ... import loading
from ...building import benches
from ...job import changes
from ...live import following
from ...scene import stamps
from ...stampwright.errors import StampwrightError
from ...translations import said
from ..base import StampOperator
from ..stamps.placing import keep_view, return_to_view, view_box

if TYPE_CHECKING:
    from bpy.types import Context, Object

FEWEST_LAYERS = 3
"""Layers over the depth of a face under which slopes print as bare steps (common practice)."""

FINEST = 2.0
"""Points to one extrusion width beyond which a face has more than the printer lays; two make a line and a gap."""


class STAMPWRIGHT_OT_sculpt_face(StampOperator, bpy.types.Operator):
    """Make the die's face dense, turn it up and sculpt it; what must not move is masked"""

    bl_idname = "stampwright.sculpt_face"
    bl_label = "Sculpt Face"
    bl_options = {"REGISTER", "UNDO"}

    symmetry: EnumProperty(
        name="Symmetry",
        description="Which sides of the face each stroke is mirrored to",
        items=(
            ("AUTO", "As the Artwork", "Mirrored where the ink is its own mirror image"),
            ("NONE", "None", "Strokes are not mirrored"),
            ("X", "Left and Right", "Strokes are mirrored from left to right"),
            ("Y", "Top and Bottom", "Strokes are mirrored from top to bottom"),
            ("BOTH", "Both", "Strokes are mirrored in both ways"),
        ),
    )

    def run(self, context: Context) -> Any:
        """Build the die with its dense face, and begin."""
        root = self.stamp(context)
        session = loading.load("sculpting.session")
        if root.stampwright.bend.form != "flat":
            raise StampwrightError("A bent face cannot be sculpted: set bend.form to flat, sculpt, and bend it then")
        if session.is_sculpted(root):
            raise StampwrightError("The face is being sculpted already")
        loading.load("building.orders").check_keeps_sculpt(root)
        if not stamps.is_sculptable(root):
            loading.load("building.orders").set_sculpt(root, _first_sculpt(root))
        stamp = following.build_now(root)
        with changes.quiet():
            session.begin(context, root)
        session.set_symmetry(root, stamp.inked, self.symmetry)
        session.set_brush(context.scene, stamp.inked, stamp.face.dense.spacing)
        # Nothing is made anew for that; the parts only come to stand as they lie on the bed.
        self._tell(following.build_now(root))

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Begin, and look at the face from above."""
        keep_view(context, self.stamp(context).session_uid)
        done = self.execute(context)
        die = stamps.part_of(self.stamp(context), "die")
        if "FINISHED" in done and die is not None:
            context.view_layer.update()
            view_box(context, die.matrix_world.translation, max(die.dimensions[:]), from_above=True)
        return done

    def _tell(self, stamp: Any) -> None:
        """Say what of the sculpt the printer will show."""
        printer, dense = stamp.job.printer, stamp.face.dense
        layers = round(dense.depth / printer.layer)
        shown = f"Lines {printer.line_width:g} mm wide and {layers} layers over {dense.depth:g} mm are all that prints"
        if layers < FEWEST_LAYERS:
            self.report({"WARNING"}, said(f"{shown}: slopes become steps; make the face deeper or the layers thinner"))
        elif stamp.job.face.fineness > FINEST:
            self.report({"WARNING"}, said(f"{shown}: the face has finer points than that"))
        else:
            self.report({"INFO"}, said(shown))


class STAMPWRIGHT_OT_end_sculpting(StampOperator, bpy.types.Operator):
    """Take what was sculpted into the stamp, settled so that it prints, and stand the stamp as before"""

    bl_idname = "stampwright.end_sculpting"
    bl_label = "End Sculpting"
    bl_options = {"REGISTER", "UNDO"}

    def run(self, context: Context) -> Any:
        """Leave sculpt mode, read the sculpt, and show it as it prints."""
        root = self.stamp(context)
        with changes.quiet():
            loading.load("sculpting.session").end(root)
        return_to_view(context, root.session_uid)
        following.build_now(root)
        settled = benches.bench_of(root).settled
        if settled:
            self.report({"WARNING"}, said(f"The sculpt was settled so that it prints: {settled[0].message}"))


class STAMPWRIGHT_OT_clear_sculpt(StampOperator, bpy.types.Operator):
    """Take the sculpt off the face; texture and settings stay"""

    bl_idname = "stampwright.clear_sculpt"
    bl_label = "Clear Sculpt"
    bl_options = {"REGISTER", "UNDO"}

    keep: BoolProperty(
        name="Keep What Was Read",
        description="Clear only what was done since the sculpt was read last, such as remeshing, which cannot be read",
        default=False,
    )

    def run(self, context: Context) -> Any:
        """Leave sculpt mode, and forget the sculpt."""
        root = _sculpted(self.stamp(context))
        with changes.quiet():
            loading.load("sculpting.session").end(root)
        kept = loading.load("sculpting.keeping").kept_map(root, stamps.SCULPT) if self.keep else None
        return_to_view(context, root.session_uid)
        loading.load("building.orders").set_sculpt(root, kept)
        following.follow(root)


class STAMPWRIGHT_OT_export_sculpt(StampOperator, ExportHelper, bpy.types.Operator):
    """Write the sculpt as a height map: a 16-bit grey PNG, or a TIFF with floats"""

    bl_idname = "stampwright.export_sculpt"
    bl_label = "Export Sculpt"

    filename_ext = ".png"
    check_extension = None
    filter_glob: StringProperty(default="*.png;*.tif;*.tiff", options={"HIDDEN"})
    check_existing: BoolProperty(default=True, options={"HIDDEN"})

    def run(self, context: Context) -> Any:
        """Read the newest strokes, and write the map."""
        root = _sculpted(self.stamp(context))
        loading.load("building.orders").keep_strokes(root)
        path = Path(bpy.path.abspath(self.filepath))
        path = path if path.suffix else path.with_suffix(".png")
        sculpt = loading.load("sculpting.keeping").kept_map(root, stamps.SCULPT)
        loading.load("stampwright.face").write_face_map(path, sculpt)
        self.report({"INFO"}, said(f"The sculpt is in {path}"))


class STAMPWRIGHT_OT_import_sculpt(StampOperator, ImportHelper, bpy.types.Operator):
    """Read a height map that was exported as the sculpt of the face, in place of the one that is there"""

    bl_idname = "stampwright.import_sculpt"
    bl_label = "Import Sculpt"
    bl_options = {"REGISTER", "UNDO"}

    filter_glob: StringProperty(default="*.png;*.tif;*.tiff", options={"HIDDEN"})

    def run(self, context: Context) -> Any:
        """Read the map, and have the face follow it."""
        root = self.stamp(context)
        face_map = loading.load("stampwright.face").read_face_map(Path(bpy.path.abspath(self.filepath)))
        loading.load("building.orders").set_sculpt(root, face_map)
        following.follow(root)


def _first_sculpt(root: Object) -> Any:
    """Return the sculpt that the job names, the stamp's own from now on, or that of a face not sculpted yet."""
    settings = root.stampwright.face
    if not settings.sculpt:
        return loading.load("sculpting.keeping").flat_map()
    found = loading.load("stampwright.face").read_face_map(Path(bpy.path.abspath(settings.sculpt)))
    with changes.quiet():
        settings.sculpt = ""
    return found


def _sculpted(root: Object) -> Object:
    if not stamps.is_sculptable(root):
        raise StampwrightError("Nothing is sculpted on this stamp")
    return root


CLASSES = (
    STAMPWRIGHT_OT_sculpt_face,
    STAMPWRIGHT_OT_end_sculpting,
    STAMPWRIGHT_OT_clear_sculpt,
    STAMPWRIGHT_OT_export_sculpt,
    STAMPWRIGHT_OT_import_sculpt,
)
