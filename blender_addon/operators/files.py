"""Files: a stamp's own, proven as they are written, and artwork from the File menu."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy_extras.io_utils import ImportHelper

from .. import live, loading, stamps
from ..figures import in_labels
from ..stampwright.errors import OutputError, StampwrightError
from .base import StampOperator
from .making import finish, new_stamp

if TYPE_CHECKING:
    from bpy.types import Context

READABLE = "*.svg;*.svgz;*.png;*.jpg;*.jpeg;*.tif;*.tiff;*.bmp;*.webp;*.toml;*.json"


class STAMPWRIGHT_OT_export_files(StampOperator, bpy.types.Operator):
    """Write all files of the stamp into a folder, once they are proven: meshes, proof, ticket, job and report"""

    bl_idname = "stampwright.export_files"
    bl_label = "Export Stamp"

    directory: StringProperty(name="Folder", description="Folder that the files come into", subtype="DIR_PATH")
    overwrite: BoolProperty(
        name="Overwrite", description="Replace files of a stamp that are in the folder already", default=False
    )
    all_stamps: BoolProperty(
        name="All Stamps", description="Write every stamp of the scene, each into a folder of its name", default=False
    )
    filter_folder: BoolProperty(default=True, options={"HIDDEN"})

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Ask for the folder."""
        if not self.directory and bpy.data.filepath:
            self.directory = str(Path(bpy.data.filepath).parent / self.stamp(context).stampwright.job_name)
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def run(self, context: Context) -> Any:
        """Make each stamp anew from the scene, and write its files."""
        if not self.directory:
            raise OutputError("There is no folder to write to: give one")
        folder = Path(bpy.path.abspath(self.directory))
        roots = list(stamps.stamps_in(context.scene)) if self.all_stamps else [self.stamp(context)]
        manager = context.window_manager
        manager.progress_begin(0, 100 * len(roots))
        try:
            names = _folder_names(roots)
            for number, (root, name) in enumerate(zip(roots, names, strict=True)):
                place = folder / name if self.all_stamps else folder

                def tell(_step: str, share: float, done: int = number) -> None:
                    manager.progress_update(int(100 * (done + share)))

                self._write(root, place, tell)
        finally:
            manager.progress_end()

    def _write(self, root: Any, folder: Path, tell: Any) -> None:
        building, output = loading.building(), loading.core("output")
        output.check_folder(folder, overwrite=self.overwrite)
        stamp = live.build_now(root)
        if stamp.blocked:
            kinds = ", ".join(sorted({finding.kind for finding in stamp.blocked}))
            raise OutputError(
                f"{root.name} is not written: {len(stamp.blocked)} of its findings block it ({kinds}); repair, accept, "
                "or change the artwork"
            )
        written = output.write_folder(
            folder, stamp, overwrite=self.overwrite, progress=tell, version=loading.core("version").__version__
        )
        building.bench_of(root).stamp = written.stamp
        self.report(
            {"INFO"},
            f"{len(written.files)} files in {folder}; the die prints {written.comparison.worst:.2%} of the art",
        )


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
                outlines = loading.building().read_file(path)
                drawn = [loading.bridge("drawing").draw_outline(context, path.stem, outlines)]
            if self.become != "CURVES":
                root = new_stamp(context, path.stem, drawn)
                with live.quiet():
                    if not drawn:
                        root.stampwright.artwork_file = str(path)
                return set(finish(self, context, root))
        except StampwrightError as error:
            self.report({"ERROR"}, in_labels(str(error)))
            return {"CANCELLED"}
        return {"FINISHED"}

    def invoke(self, context: Context, event: Any) -> set[str]:
        """Ask for the file."""
        return ImportHelper.invoke(self, context, event)


def _folder_names(roots: list[Any]) -> list[str]:
    """Return a name for the folder of each stamp, no two alike on any system."""
    names: list[str] = []
    for root in roots:
        kept = "".join(
            letter if letter.isalnum() or letter in "-_ " else "_" for letter in root.stampwright.job_name
        ).strip()
        name, number = kept or "stamp", 2
        while name.casefold() in {each.casefold() for each in names}:
            name, number = f"{kept or 'stamp'} {number}", number + 1
        names.append(name)
    return names


def _in_import_menu(menu: Any, _context: Context) -> None:
    menu.layout.operator("stampwright.import_artwork", text="Artwork for Stamps (.svg, .png, ...)")


def register() -> None:
    """Enter the import in the File menu."""
    bpy.types.TOPBAR_MT_file_import.append(_in_import_menu)


def unregister() -> None:
    """Take it out of the File menu."""
    bpy.types.TOPBAR_MT_file_import.remove(_in_import_menu)


CLASSES = (STAMPWRIGHT_OT_export_files, STAMPWRIGHT_OT_import_artwork)
