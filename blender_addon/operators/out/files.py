"""Files: a stamp's own, proven as they are written, and artwork from the File menu."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy_extras.io_utils import ImportHelper

from ... import loading
from ...building import benches
from ...building.results import likeness_told
from ...export import exporting
from ...export.naming import folder_names, place_given
from ...job import changes
from ...live import following
from ...scene import stamps
from ...stampwright.errors import OutputError, StampwrightError
from ..base import StampOperator, refused
from ..stamps.making import finish, new_stamp
from ..stamps.placing import view_stamp
from ..watching import Watching
from ...translations import CONTEXT, said, translated

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bpy.types import Context, Object

WIDE, LETTERS = 560, 76
"""Width of the dialog that asks before files are replaced, in the host's points, and letters to a line of it."""

MOST_FOLDERS = 6
"""Folders whose files that dialog names; with more it would be higher than a window."""

READABLE = "*.svg;*.svgz;*.png;*.jpg;*.jpeg;*.tif;*.tiff;*.bmp;*.webp;*.gif;*.toml;*.json"


class STAMPWRIGHT_OT_export_files(Watching, StampOperator, bpy.types.Operator):
    """Write all files of the stamp, once they are proven, into a folder of its name: meshes, proof, ticket and job"""

    bl_idname = "stampwright.export_files"
    bl_label = "Export Stamp"

    room, writes = exporting, True

    directory: StringProperty(
        name="Folder", description="Where the stamp's own folder comes, which bears its name", subtype="DIR_PATH"
    )
    overwrite: BoolProperty(
        name="Overwrite", description="Replace files of a stamp that are in the folder already", default=False
    )
    all_stamps: BoolProperty(
        name="All Stamps", description="Write every stamp of the scene, each into its folder", default=False
    )
    is_chosen: BoolProperty(
        name="Folder Chosen",
        description="Whether the folder is settled, so that writing may begin",
        options={"HIDDEN", "SKIP_SAVE"},
    )
    filter_folder: BoolProperty(default=True, options={"HIDDEN"})

    _asked = False
    """Whether the user was asked something; what follows the answer is watched, and not waited for."""

    _there: Any = ()
    """Files that would be replaced, where that is asked."""

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Ask for the folder, and whether files in it may go; then write beside Blender, telling how far it is."""
        if not self.is_chosen:
            self._asked = True
            if not self.directory and bpy.data.filepath:
                self.directory = str(Path(bpy.data.filepath).parent)
            context.window_manager.fileselect_add(self)
            return {"RUNNING_MODAL"}
        try:
            self._parcels = self._packed(context)
            there = [] if self.overwrite else exporting.would_overwrite(self._parcels)
            if there:
                self._asked = self.overwrite = True
                self._there = there
                asked: Any = context.window_manager.invoke_props_dialog(
                    self, width=WIDE, title="Overwrite Files", confirm_text="Overwrite"
                )
                return set(asked)
            root = self.stamp(context)
            return self.watch(context, root, exporting.start(root, self._parcels, overwrite=self.overwrite))
        except StampwrightError as error:
            return refused(self, str(error))

    def run(self, context: Context) -> None:
        """Write, and come back when it is written; after an answer, go on where it can be watched and stopped."""
        if self._asked:
            chosen = {name: getattr(self, name) for name in ("directory", "overwrite", "all_stamps")}
            operators: Any = bpy.ops.stampwright  # type: ignore[attr-defined]  # entered by the extension
            try:
                operators.export_files("INVOKE_DEFAULT", is_chosen=True, **chosen)
            except RuntimeError as error:
                # What a call within a call reports, the host raises.
                raise OutputError(str(error).removeprefix("Error: ").strip()) from error
            return
        manager = context.window_manager
        manager.progress_begin(0, 100)
        try:
            for root in self._roots(context):
                following.build_now(root)
            self._parcels = self._packed(context)
            written = exporting.write(
                self._parcels,
                overwrite=self.overwrite,
                tell=lambda _step, share: manager.progress_update(int(100 * share)),
            )
        finally:
            manager.progress_end()
        self._tell(written)

    def ended(self) -> set[str]:
        """Say what was written, or what stood against it."""
        return self.ended_with(self._tell)

    def draw(self, context: Context) -> None:
        """Show beside the folders what may be chosen, and where the files will be; or which would be replaced."""
        layout = self.layout
        if self._there:
            column = layout.column(align=True)
            column.label(text="These files will be replaced:", text_ctxt=CONTEXT, icon="ERROR")
            for line in told_of(self._there):
                column.label(text=line, translate=False)
            return
        layout.prop(self, "overwrite")
        layout.prop(self, "all_stamps")
        names = folder_names(context.scene.objects)
        column = layout.column(align=True)
        column.label(text="Files come into", text_ctxt=CONTEXT)
        for root in self._roots(context):
            column.label(text=names[root.session_uid], icon="FILE_FOLDER", translate=False)

    def _packed(self, context: Context) -> tuple[exporting.Parcel, ...]:
        return exporting.pack(self._roots(context), place_given(self.directory))

    def _roots(self, context: Context) -> list[Object]:
        return list(stamps.stamps_in(context.scene)) if self.all_stamps else [self.stamp(context)]

    def _tell(self, written: list[Any]) -> None:
        for parcel, files in zip(self._parcels, written, strict=True):
            if parcel.order.plate:
                count = len(parcel.order.inks)
                self.report({"INFO"}, said(f"{len(files.files)} files of a set in {count} inks in {parcel.folder}"))
                continue
            bench = benches.bench_at(parcel.number)
            if bench is not None and bench.fingerprint == parcel.order.fingerprint:
                # Its press is reckoned now, from the die as written.
                bench.stamp = files.stamp
            told = f"{len(files.files)} files in {parcel.folder}"
            if files.stamp.judgement is not None:
                told += f"; the die prints {likeness_told(files.stamp)}"
            self.report({"INFO"}, told)


def told_of(files: Sequence[Path]) -> list[str]:
    """Return in lines, as wide as a dialog, which files would be replaced, folder by folder."""
    folders, lines = list(dict.fromkeys(path.parent for path in files)), []
    for folder in folders[:MOST_FOLDERS]:
        names = ", ".join(path.name for path in files if path.parent == folder)
        lines += ["", *textwrap.wrap(str(folder), LETTERS), *textwrap.wrap(names, LETTERS)]
    if len(folders) > MOST_FOLDERS:
        more = translated("and as many in {count} more folders").format(count=len(folders) - MOST_FOLDERS)
        lines += ["", more]
    return lines


class STAMPWRIGHT_OT_import_artwork(ImportHelper, bpy.types.Operator):
    """Read line art as it prints, as a stamp, as curves, or both"""

    bl_idname = "stampwright.import_artwork"
    bl_label = "Import Artwork"
    bl_options = {"REGISTER", "UNDO"}

    filter_glob: StringProperty(default=READABLE, options={"HIDDEN"})
    become: EnumProperty(
        name="As",
        description="What becomes of the artwork",
        items=(
            ("BOTH", "Stamp from Curves", "Curves that can be edited, and a stamp that follows them"),
            ("STAMP", "Stamp from the File", "A stamp that follows the file itself"),
            ("CURVES", "Curves", "Curves that can be edited, at the file's own size"),
        ),
    )

    def execute(self, context: Context) -> set[str]:
        """Read the file, and make what was asked for."""
        root = None
        try:
            path = Path(bpy.path.abspath(self.filepath))
            drawn = []
            if self.become != "STAMP":
                outlines = loading.load("stampwright.artwork").read_artwork(path).inked
                drawn = [loading.load("artwork.drawing").draw_outline(context, path.stem, outlines)]
            if self.become != "CURVES":
                root = new_stamp(context, path.stem, drawn)
                with changes.quiet():
                    if not drawn:
                        root.stampwright.artwork_file = str(path)
                done = set(finish(self, context, root))
                view_stamp(context, root)
                return done
        except StampwrightError as error:
            return refused(self, str(error))
        return {"FINISHED"}

    def invoke(self, context: Context, event: Any) -> set[str]:
        """Ask for the file."""
        return ImportHelper.invoke(self, context, event)


def unregister() -> None:
    """Stop what is being written."""
    exporting.stop_all()


CLASSES = (STAMPWRIGHT_OT_export_files, STAMPWRIGHT_OT_import_artwork)
