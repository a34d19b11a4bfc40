"""Real prints: the test die, what was measured on its prints, scans beside stamps, and sliced dies."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, CollectionProperty, FloatProperty, StringProperty
from bpy_extras.io_utils import ImportHelper

from .. import loading
from ..export import exporting
from ..export.naming import place_given
from ..job.preferences import start_job
from ..job.presets import drop_measured, keep_measured, own_measured
from ..job.properties import job_of
from ..live import following
from ..scene import stamps
from ..scene.views import show_image
from ..stampwright.errors import JobError, PrintError, StampwrightError
from ..translations import said, translated
from .base import OperatorPart, StampOperator, refused
from .stamps.settings import take_measured
from .watching import Watching

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bpy.types import Context

SCANS = "*.png;*.jpg;*.jpeg;*.tif;*.tiff;*.bmp;*.webp"
TOOLPATHS = "*.gcode;*.gco;*.gc;*.g;*.nc;*.ngc;*.tap"

MOST_TOLD = 8
"""Findings that are reported; the sheet shows all."""


class _Showing(OperatorPart):
    """Shows what was looked at, and reports it in lines."""

    def show(self, context: Context, seen: Any) -> None:
        """Show the image where an Image Editor is open, and tell what was found."""
        show_image(context, seen.image)
        for line in (*seen.told, translated("Drawn as the image {name}").format(name=repr(seen.image.name))):
            self.report({"INFO"}, line)
        for finding in [each for each in seen.findings if each.severity != "notes"][:MOST_TOLD]:
            self.report({"WARNING"}, f"{said(finding.message)}. {said(finding.remedy)}")


class STAMPWRIGHT_OT_export_test_die(Watching, bpy.types.Operator):
    """Write a die whose prints tell what this printer, ink and paper do, with its gauges, for the stamp's settings"""

    bl_idname = "stampwright.export_test_die"
    bl_label = "Export Test Die"

    room, writes = exporting, True

    directory: StringProperty(
        name="Folder", description="Where the folder of the test die comes", subtype="DIR_PATH", options={"SKIP_SAVE"}
    )
    size: FloatProperty(
        name="Size (mm)", description="Side of the test die; a smaller one has fewer rungs", default=50, min=30, max=150
    )
    overwrite: BoolProperty(
        name="Overwrite", description="Replace files of a test die that are in the folder already", default=False
    )
    filter_folder: BoolProperty(default=True, options={"HIDDEN"})

    def invoke(self, context: Context, _event: Any) -> set[str]:
        """Ask for the folder, then write beside Blender, telling how far it is."""
        self._asked = True
        context.window_manager.fileselect_add(self)
        return {"RUNNING_MODAL"}

    def execute(self, context: Context) -> set[str]:
        """Write; where the folder was asked for, beside Blender."""
        root = stamps.stamp_of(context)
        try:
            job = start_job(context, "Test die") if root is None else job_of(root.stampwright)
            self._folder = place_given(self.directory) / "test-die"
            prints = loading.load("press.prints")
            size, overwrite = round(self.size, 3), self.overwrite
            work = exporting.Writing(
                lambda tell: prints.write_test(job, self._folder, size=size, overwrite=overwrite, tell=tell)
            )
            exporting.begin_at(0 if root is None else root.session_uid, work)
        except StampwrightError as error:
            return refused(self, str(error))
        if getattr(self, "_asked", False):
            return self.watch(context, root, work)
        work.wait()
        self._work = work
        return self.ended()

    def ended(self) -> set[str]:
        """Say what was written, or what stood against it."""
        return self.ended_with(self._tell)

    def _tell(self, names: Sequence[str]) -> None:
        self.report({"INFO"}, said(f"{len(names)} files in {self._folder}; print, stamp, scan, then measure"))


class STAMPWRIGHT_OT_import_measured(StampOperator, ImportHelper, bpy.types.Operator):
    """Read what was measured on prints of a test die, set it on this stamp, and keep it as a preset"""

    bl_idname = "stampwright.import_measured"
    bl_label = "Import Measured Settings"
    bl_options = {"REGISTER", "UNDO"}

    filter_glob: StringProperty(default="*.toml;*.json", options={"HIDDEN"})

    def run(self, context: Context) -> Any:
        """Keep and set."""
        path = Path(bpy.path.abspath(self.filepath))
        held = loading.load("stampwright.job.measured").read_measured(path)
        if not held.settings:
            raise JobError(f"{path.name} has no figure with a setting: measure more, or clearer, prints")
        root = self.stamp(context)
        take_measured(root, held.settings)
        keep_measured(path.stem, held.settings)
        told = translated("{count} settings of {name} set, and kept as a preset")
        self.report({"INFO"}, told.format(count=len(held.settings), name=path.stem))


class STAMPWRIGHT_OT_use_measured(StampOperator, bpy.types.Operator):
    """Set what was measured of a printer, an ink or a paper; the other settings stay"""

    bl_idname = "stampwright.use_measured"
    bl_label = "Use Measured Settings"
    bl_options = {"REGISTER", "UNDO"}

    label: StringProperty(name="Name", description="Name of the measured settings")

    def run(self, context: Context) -> Any:
        """Set them, marked as measured."""
        held = own_measured()
        if self.label not in held:
            raise JobError(f"There are no measured settings {self.label!r}: import their file")
        take_measured(self.stamp(context), held[self.label])


class STAMPWRIGHT_OT_remove_measured(StampOperator, bpy.types.Operator):
    """Remove these measured settings from the list; stamps keep them"""

    bl_idname = "stampwright.remove_measured"
    bl_label = "Remove Measured Settings"

    label: StringProperty(name="Name", description="Name of the measured settings")

    def run(self, _context: Context) -> Any:
        """Take them off the user's own."""
        drop_measured(self.label)


class STAMPWRIGHT_OT_scan_beside(StampOperator, ImportHelper, bpy.types.Operator):
    """Lay a scan or photograph of a real print beside the stamp, at true size"""

    bl_idname = "stampwright.scan_beside"
    bl_label = "Show Scan"
    bl_options = {"REGISTER", "UNDO"}

    filter_glob: StringProperty(default=SCANS, options={"HIDDEN"})
    width: FloatProperty(
        name="Width (mm)",
        description="How wide what the picture shows is; 0 takes it from the scanner's resolution",
        default=0,
        min=0,
        max=2000,
    )

    def run(self, context: Context) -> Any:
        """Lay it."""
        path = Path(bpy.path.abspath(self.filepath))
        sheet, width = loading.load("press.prints").lay_beside(
            self.stamp(context), path, context.scene, width=self.width
        )
        self.report({"INFO"}, said(f"{sheet.name}: {width:.1f} mm wide"))


class STAMPWRIGHT_OT_compare_prints(_Showing, StampOperator, ImportHelper, bpy.types.Operator):
    """Compare scans of real prints with the stamp: what is missing, light or stray, and what to do, as an image"""

    bl_idname = "stampwright.compare_prints"
    bl_label = "Compare Prints"
    bl_options = {"REGISTER"}

    filter_glob: StringProperty(default=SCANS, options={"HIDDEN"})
    directory: StringProperty(
        name="Folder", description="Folder that the scans are in", subtype="DIR_PATH", options={"HIDDEN", "SKIP_SAVE"}
    )
    files: CollectionProperty(
        name="Scans",
        description="Names of the scans",
        type=bpy.types.OperatorFileListElement,
        options={"HIDDEN", "SKIP_SAVE"},
    )
    folder: StringProperty(
        name="Stamp's Folder",
        description="Folder that the printed stamp was exported to; empty for the stamp as it is now",
        subtype="DIR_PATH",
        options={"SKIP_SAVE"},
    )

    def run(self, context: Context) -> Any:
        """Compare, and show the sheet."""
        root = self.stamp(context)
        scans = [Path(bpy.path.abspath(self.directory)) / each.name for each in self.files if each.name]
        scans = scans or [Path(bpy.path.abspath(self.filepath))]
        prints = loading.load("press.prints")
        if not prints.can_compare():
            raise PrintError(
                "Prints are found by OpenCV, which Blender does not bring: compare them on the command line "
                f"(stampwright compare {scans[0].name} FOLDER --out beside.png) and open that picture here"
            )
        if self.folder:
            self.show(context, prints.compare_with(root, scans, Path(bpy.path.abspath(self.folder))))
            return
        stamp = following.build_now(root)
        with prints.scratch() as scratch:
            parcels = exporting.pack([root], Path(scratch))
            exporting.write(parcels, overwrite=True, tell=lambda _step, _share: None)
            self.show(context, prints.compare_with(root, scans, parcels[0].folder, stamp))


class STAMPWRIGHT_OT_read_toolpath(_Showing, StampOperator, ImportHelper, bpy.types.Operator):
    """Look at the sliced die, bead by bead: what it will print of this stamp, and what the slicer left out"""

    bl_idname = "stampwright.read_toolpath"
    bl_label = "Read Sliced Die"
    bl_options = {"REGISTER"}

    filter_glob: StringProperty(default=TOOLPATHS, options={"HIDDEN"})
    filament: FloatProperty(
        name="Filament (mm)", description="Diameter of the filament that the file is for", default=1.75, min=0.5, max=5
    )
    volumetric: BoolProperty(name="Volumes", description="The file tells mm³ of filament, not lengths", default=False)

    def run(self, context: Context) -> Any:
        """Read the file, hold it against the stamp, and show the sheet."""
        root = self.stamp(context)
        path, stamp = Path(bpy.path.abspath(self.filepath)), following.build_now(root)
        look_at_toolpath = loading.load("press.prints").look_at_toolpath
        filament = round(self.filament, 4)
        self.show(context, look_at_toolpath(root, stamp, path, filament=filament, volumetric=self.volumetric))


CLASSES = (
    STAMPWRIGHT_OT_export_test_die,
    STAMPWRIGHT_OT_import_measured,
    STAMPWRIGHT_OT_use_measured,
    STAMPWRIGHT_OT_remove_measured,
    STAMPWRIGHT_OT_scan_beside,
    STAMPWRIGHT_OT_compare_prints,
    STAMPWRIGHT_OT_read_toolpath,
)
