"""The panels of the findings: what will not print, where, and what repair may do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ..building.results import can_repair, findings_of, repair_of, stamp_made
from ..job.figures import in_labels, read_names
from ..scene import stamps
from .base import StampPanel, show_figures, wrapped

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout

SIGNS: dict[str, Any] = {"blocks": "CANCEL", "warns": "ERROR", "notes": "INFO"}
"""Icon of each severity, told apart by shape: a crossed circle, a triangle, a letter."""

MOST_LISTED = 12
"""Findings of one sort that the list shows; the overlay shows them all."""


class STAMPWRIGHT_PT_findings(StampPanel, bpy.types.Panel):
    """What will not print, or not well."""

    bl_label = "Findings"
    bl_options = set()

    def draw_header_preset(self, context: Context) -> None:
        """Count the findings of each severity beside the panel's name."""
        root = stamps.stamp_of(context)
        found = findings_of(root) if root is not None else ()
        for severity in ("blocks", "warns"):
            count = sum(finding.severity == severity for finding in found)
            if count:
                self.layout.label(text=str(count), icon=SIGNS[severity])

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """List the findings by kind, with what can be done about them."""
        found = findings_of(root)
        row = layout.row(align=True)
        row.use_property_split = False
        if held.preflight.repair:
            row.prop(held.preflight, "repair", text="Repaired", toggle=True, icon="CHECKMARK")
        elif any(can_repair(root, finding) for finding in found):
            row.operator("stampwright.repair", text="Repair All", icon="MODIFIER")
        if repair_of(root) is not None:
            row.operator("stampwright.write_outline", text="As Curve", icon="OUTLINER_OB_CURVE")
            if not held.preflight.repair:
                row.operator("stampwright.leave_as_drawn", text="", icon="LOOP_BACK")
        if stamp_made(root) is None:
            layout.label(text="Not examined yet")
        elif all(finding.severity == "notes" for finding in found):
            layout.label(text="Nothing against it: this prints", icon="CHECKMARK")
        kinds: dict[tuple[str, str], list[int]] = {}
        for number, finding in enumerate(found):
            kinds.setdefault((finding.severity, finding.kind), []).append(number)
        for (severity, kind), numbers in kinds.items():
            _show_kind(layout, root, severity, kind, [(number, found[number]) for number in numbers])


class STAMPWRIGHT_PT_repair(StampPanel, bpy.types.Panel):
    """What is looked for, and what repair may do."""

    bl_label = "Limits and Repair"
    bl_parent_id = "STAMPWRIGHT_PT_findings"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the limits, and what repair may change."""
        figures = held.preflight
        narrow = {"block_lines": "Blocks (passes)", "warn_lines": "Warns (passes)"}
        show_figures(layout, figures, *narrow, title="Ink narrower than this", **narrow)
        islands = {"speck": "Speck Under", "dot": "Dot Under", "isolation": "Alone Within"}
        show_figures(layout, figures, *islands, title="Islands of ink", **islands)
        whole = {"cover": "Inked Share", "points_per_mm": "Points per mm", "most_points": "Points"}
        show_figures(layout, figures, *whole, title="Whole drawing, at most", **whole)
        column = layout.column(heading="Repair May")
        for name in ("repair_lines", "repair_gaps", "repair_spikes"):
            column.prop(figures, name)
        column.prop(figures, "repair_specks")
        accepted = read_names(figures.accept)
        if accepted:
            layout.label(text="Accepted, so that they do not block")
        for kind in accepted:
            row = layout.row(align=True)
            row.label(text=kind.capitalize())
            refuse = row.operator("stampwright.accept", text="", icon="X")
            refuse.kind, refuse.accepted = kind, False


def _show_kind(layout: UILayout, root: Object, severity: str, kind: str, alike: list[tuple[int, Any]]) -> None:
    box = layout.box().column(align=True)
    row = box.row(align=True)
    count = f" ({len(alike)})" if len(alike) > 1 else ""
    row.label(text=f"{kind.capitalize()}{count}", icon=SIGNS[severity])
    if severity == "blocks":
        row.operator("stampwright.accept", text="Accept").kind = kind
    placed = [(number, finding) for number, finding in alike if finding.place is not None]
    first = alike[0][1]
    told = first.remedy if placed and first.remedy and severity != "notes" else first.message
    for line in wrapped(in_labels(told[:1].upper() + told[1:])):
        box.label(text=line)
    if not placed:
        return
    # A wrench takes the room of a third button in the row.
    flow = box.grid_flow(columns=2 if can_repair(root, first) else 3, even_columns=True, align=True)
    for number, finding in placed[:MOST_LISTED]:
        text = f"{finding.measured:.2f} {finding.unit}" if finding.measured is not None else "View"
        pair = flow.row(align=True)
        pair.operator("stampwright.view_finding", text=text, icon="VIEWZOOM").number = number
        if can_repair(root, finding):
            pair.operator("stampwright.repair_finding", text="", icon="MODIFIER").number = number
    if len(placed) > MOST_LISTED:
        box.label(text=f"and {len(placed) - MOST_LISTED} more, marked in the viewport")
