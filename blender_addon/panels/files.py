"""The panel of the files that are written and read."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from .base import StampPanel

if TYPE_CHECKING:
    from bpy.types import Object, UILayout


class STAMPWRIGHT_PT_files(StampPanel, bpy.types.Panel):
    """Files in and out."""

    bl_label = "Files"
    bl_options = set()

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Offer to write the stamp, and to read and write its job."""
        column = layout.column()
        column.scale_y = 1.3
        column.operator("stampwright.export_files", icon="EXPORT")
        row = layout.row(align=True)
        row.operator("stampwright.read_job", text="Read Job...")
        row.operator("stampwright.write_job", text="Write Job...")
