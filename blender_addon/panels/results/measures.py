"""The panels of what comes of it: measures, and files."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import bpy

from ...building.results import is_behind, likeness_told, stamp_made
from ...live import following
from ...translations import CONTEXT, translated
from ..base import StampPanel, show_beside, show_lines, show_operator

if TYPE_CHECKING:
    from bpy.types import Object, UILayout


class STAMPWRIGHT_PT_measures(StampPanel, bpy.types.Panel):
    """What the stamp weighs, costs, and how long it prints."""

    bl_label = "Measures"
    bl_parent_id = "STAMPWRIGHT_PT_files"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show a column for each part, and the whole."""
        stamp = stamp_made(root)
        if stamp is None:
            show_lines(layout, translated("Not built yet" if following.work_of(root) is None else "Being built"))
            return
        is_current = not is_behind(root)
        layout = layout.column()
        layout.active = is_current
        if stamp.judgement is not None:
            show_lines(layout, translated("Prints {likeness}").format(likeness=likeness_told(stamp)))
        rows = [(name.capitalize(), part) for name, part in stamp.measures.items()]
        caption = layout.row()
        caption.active = False
        said = "Volume, mass, filament, cost, time" if is_current else "As last built, not as it is now"
        show_lines(caption, translated(said))
        table = layout.row()
        names = table.column(align=True)
        for name in ("", *(name for name, _ in rows), "Total"):
            names.label(text=translated(name) if name else "", translate=False)
        for unit, value, told in _columns(stamp.job.price.currency):
            column = table.column(align=True)
            column.alignment = "RIGHT"
            values = [value(part) for _, part in rows]
            for text in (unit, *(told(each) for each in values), told(sum(values))):
                column.label(text=text, translate=False)


class STAMPWRIGHT_PT_files(StampPanel, bpy.types.Panel):
    """Files in and out."""

    bl_label = "Export"
    subject = "files"
    bl_options = set()

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Offer to write the stamp, and to read and write its job."""
        column = layout.column()
        column.scale_y = 1.3
        show_operator(column, "stampwright.export_files", icon="EXPORT")
        show_operator(layout, "stampwright.export_table", icon="SPREADSHEET", text="Stamps from Table...")
        show_operator(layout, "stampwright.export_finished", text="For Web and 3D...", icon="SHADING_TEXTURE")
        row = show_beside(layout)
        row.operator("stampwright.read_job", text="Import Job...", text_ctxt=CONTEXT)
        row.operator("stampwright.write_job", text="Export Job...", text_ctxt=CONTEXT)


def _columns(currency: str) -> list[tuple[str, Callable[[Any], float], Callable[[float], str]]]:
    """Return unit, value and wording of each column of the measures."""
    return [
        ("cm³", lambda part: part.volume / 1000.0, "{:.1f}".format),
        ("g", lambda part: part.mass, "{:.1f}".format),
        ("m", lambda part: part.filament_length / 1000.0, "{:.1f}".format),
        (currency, lambda part: part.cost, "{:.2f}".format),
        ("h", lambda part: part.minutes, _in_hours),
    ]


def _in_hours(minutes: float) -> str:
    hours, rest = divmod(round(minutes), 60)
    return f"{hours}:{rest:02}"
