"""The panel of real prints: test die, what was measured, scans beside the stamp, the sliced die."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...job.presets import own_measured
from ...job.properties import job_of
from ...stampwright.errors import StampwrightError
from ...stampwright.job.labels import label_of, unit_of
from ...stampwright.job.measured import measured_in
from ...translations import CONTEXT, translated
from ..base import StampPanel, show_lines, show_operator

if TYPE_CHECKING:
    from bpy.types import Object, UILayout


class STAMPWRIGHT_PT_prints(StampPanel, bpy.types.Panel):
    """What real prints say, and what the sliced die will print."""

    bl_label = "Real Prints"
    bl_parent_id = "STAMPWRIGHT_PT_findings"
    subject = "prints"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show what is measured, the user's own measured settings, and what can be looked at."""
        column = layout.column(align=True)
        show_operator(column, "stampwright.export_test_die", icon="EXPORT")
        show_operator(column, "stampwright.import_measured", text="Import Measured...", icon="IMPORT")
        _show_kept(layout)
        _show_measured(layout, held)
        column = layout.column(align=True)
        show_operator(column, "stampwright.scan_beside", icon="IMAGE_DATA")
        show_operator(column, "stampwright.compare_prints", icon="IMAGE_REFERENCE")
        show_operator(column, "stampwright.read_toolpath", icon="VIEWZOOM")


def _show_kept(layout: UILayout) -> None:
    """Show each of the user's own measured settings as a line to press."""
    column = layout.column(align=True)
    for label in own_measured():
        row = column.row(align=True)
        row.operator("stampwright.use_measured", text=label, translate=False).label = label
        row.operator("stampwright.remove_measured", text="", icon="REMOVE").label = label


def _show_measured(layout: UILayout, held: Any) -> None:
    """Show which settings of the stamp are measured, and not assumed."""
    try:
        measured = measured_in(job_of(held))
    except StampwrightError:
        # Settings that contradict each other are told of where they are built.
        return
    if not measured:
        return
    column = layout.column(align=True)
    column.label(text="Measured", text_ctxt=CONTEXT)
    for path, each in measured.items():
        told = f"{translated(label_of(path))} {each.value:.4g} {unit_of(path)}".rstrip()
        show_lines(column, f"{told} ({each.low:.4g} - {each.high:.4g})", icon="CHECKMARK")


CLASSES = (STAMPWRIGHT_PT_prints,)
