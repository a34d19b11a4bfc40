"""The finished stamp as one file for web shops and other 3D programs."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import BoolProperty, EnumProperty, StringProperty
from bpy_extras.io_utils import ExportHelper

from ... import loading
from ...export.naming import as_file_name
from ...live import following
from ..base import StampOperator

if TYPE_CHECKING:
    from bpy.types import Context

ENDINGS = {"GLB": ".glb", "USD": ".usdz", "OBJ": ".obj"}


class STAMPWRIGHT_OT_export_finished(StampOperator, ExportHelper, bpy.types.Operator):
    """Write the stamp put together, in its finishes, as one file for web shops and other 3D programs"""

    bl_idname = "stampwright.export_finished"
    bl_label = "Export Finished Stamp"
    works_in_edit_mode = False

    filename_ext = ".glb"
    check_extension = None
    filter_glob: StringProperty(default="*.glb;*.usdz;*.obj", options={"HIDDEN"})
    check_existing: BoolProperty(default=True, options={"HIDDEN"})
    kind: EnumProperty(
        name="Format",
        description="What kind of file it becomes",
        items=(
            ("GLB", "glTF", "One binary file, as web shops and viewers take it"),
            ("USD", "USD", "Universal Scene Description with its pictures, as phones and other 3D programs take it"),
            ("OBJ", "OBJ", "Wavefront, with its materials and pictures in files beside it"),
        ),
    )
    sheet: BoolProperty(name="Impression", description="Write the sheet with the impression too", default=False)

    textures: BoolProperty(
        name="Baked Textures",
        description="Show layers, grain and ink by small pictures: base colour, roughness and normal of each part",
        default=True,
    )
    side: EnumProperty(
        name="Texture Size",
        description="Pixels of each side of the baked pictures",
        items=tuple((str(each), f"{each} px", f"{each} pixels to a side") for each in (256, 512, 1024)),
        default="512",
    )

    def invoke(self, context: Context, event: Any) -> set[str]:
        """Offer the stamp's own name."""
        if not self.filepath:
            self.filepath = as_file_name(self.stamp(context).name) + ENDINGS[self.kind]
        return ExportHelper.invoke(self, context, event)

    def check(self, _context: Context) -> bool:
        """Have the name end as the chosen format does."""
        fitting = str(Path(self.filepath).with_suffix(ENDINGS[self.kind]))
        differs, self.filepath = fitting != self.filepath, fitting
        return differs

    def run(self, context: Context) -> Any:
        """Build what is due, and write it."""
        root = self.stamp(context)
        path = Path(bpy.path.abspath(self.filepath)).with_suffix(ENDINGS[self.kind])
        finished = loading.load("export.finished")
        wanted = finished.FinishedFile(self.kind, sheet=self.sheet, side=int(self.side) if self.textures else 0)
        written = finished.write_finished(context, root, following.build_now(root), path, wanted)
        size = sum(each.stat().st_size for each in written) / 1000
        self.report({"INFO"}, f"{path} ({size:.0f} kB)")


CLASSES = (STAMPWRIGHT_OT_export_finished,)
