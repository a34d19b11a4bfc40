"""The panels of the findings: what will not print, where, and what repair may do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...building.results import can_repair, repair_of
from ...job.settings import read_names
from ...press.verdict import findings_of, verdict_of
from ...remedy import looking
from ...scene import stamps
from ...translations import said, translated
from ..base import (
    StampPanel,
    sentence,
    show_help,
    show_lines,
    show_setting,
    show_settings,
    show_switches,
    show_verdict,
    wrapped,
)
from ..signs import sign_icon

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout

    from ...stampwright.findings import Severity

_COUNTED: tuple[Severity, ...] = ("blocks", "warns")

LEAST_WIDE = 2
"""Letters of a unit beyond which three figures do not stand beside each other."""

MOST_LISTED = 12
"""Findings of one sort that the list shows; the overlay shows them all."""


class STAMPWRIGHT_PT_findings(StampPanel, bpy.types.Panel):
    """What will not print, or not well."""

    bl_label = "Findings"
    subject = "findings"
    bl_options = set()

    def draw_header_preset(self, context: Context) -> None:
        """Count the findings of each severity beside the panel's name."""
        root = stamps.stamp_of(context)
        found = findings_of(root) if root is not None else ()
        for severity in _COUNTED:
            count = sum(finding.severity == severity for finding in found)
            if count:
                self.layout.label(text=str(count), icon_value=sign_icon(severity))
        show_help(self.layout, self.subject)

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
        verdict = verdict_of(root)
        show_verdict(layout, verdict)
        if verdict.severity == "blocks":
            _show_ways(layout, root)
        layout = layout.column()
        layout.active = verdict.is_current
        kinds: dict[tuple[Severity, str], list[int]] = {}
        for number, finding in enumerate(found):
            kinds.setdefault((finding.severity, finding.kind), []).append(number)
        for (severity, kind), numbers in kinds.items():
            _show_kind(layout, root, severity, kind, [(number, found[number]) for number in numbers])


def _show_ways(layout: UILayout, root: Object) -> None:
    """Show what would make a stamp pass that is blocked, or the button that has it looked for."""
    ways = looking.ways_of(root)
    if ways is None:
        layout.operator("stampwright.find_ways", icon="VIEWZOOM")
        return
    box = layout.box().column()
    show_lines(box, sentence(said(ways.in_words())))
    for number, way in enumerate(ways):
        row = box.row(align=True)
        show_lines(row, said(way.in_words()))
        row.operator("stampwright.take_way", text="", icon="CHECKMARK").number = number


class STAMPWRIGHT_PT_repair(StampPanel, bpy.types.Panel):
    """What is looked for, and what repair may do."""

    bl_label = "Limits and Repair"
    bl_parent_id = "STAMPWRIGHT_PT_findings"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the limits, and what repair may change."""
        settings = held.preflight
        show_settings(layout, settings, "block_lines", "warn_lines", title="Ink, in line widths")
        show_settings(layout, settings, "least_gap", title="Gaps in print")
        show_settings(layout, settings, "speck", "dot", "isolation", title="Islands of ink")
        show_settings(layout, settings, "cover", "points_per_mm", "most_points", title="Whole drawing, at most")
        show_switches(
            layout, "Repair May", *((settings, name) for name in ("repair_lines", "repair_gaps", "repair_spikes"))
        )
        column = layout.column()
        show_setting(column, settings, "repair_specks")
        show_setting(column, settings, "repair_by")
        show_setting(column, settings, "repair_to")
        accepted = read_names(settings.accept)
        if accepted:
            layout.label(text="Accepted: warn, and do not block")
        for kind in accepted:
            row = layout.row(align=True)
            row.label(text=translated(kind.capitalize()), translate=False)
            refuse = row.operator("stampwright.accept", text="", icon="X")
            refuse.kind, refuse.accepted = kind, False


def _show_kind(layout: UILayout, root: Object, severity: Severity, kind: str, alike: list[tuple[int, Any]]) -> None:
    box = layout.box().column(align=True)
    row = box.row(align=True)
    count = f" ({len(alike)})" if len(alike) > 1 else ""
    row.label(text=f"{translated(kind.capitalize())}{count}", translate=False, icon_value=sign_icon(severity))
    if severity == "blocks" and alike[0][1].stage == "preflight":
        row.operator("stampwright.accept", text="Accept").kind = kind
    placed = [(number, finding) for number, finding in alike if finding.place is not None]
    first = alike[0][1]
    told = first.remedy if placed and first.remedy and severity != "notes" else first.message
    for line in wrapped(sentence(said(told))):
        box.label(text=line, translate=False)
    if not placed:
        return
    # A wrench, or a unit such as mm², takes the room of a third button in the row.
    is_wide = can_repair(root, first) or len(first.unit) > LEAST_WIDE
    flow = box.grid_flow(columns=2 if is_wide else 3, even_columns=True, align=True)
    for number, finding in placed[:MOST_LISTED]:
        told = finding.measured is not None and finding.unit
        text = f"{finding.measured:.2f} {finding.unit}" if told else translated("View")
        pair = flow.row(align=True)
        pair.operator("stampwright.view_finding", text=text, icon="VIEWZOOM").number = number
        if can_repair(root, finding):
            pair.operator("stampwright.repair_finding", text="", icon="MODIFIER").number = number
    if len(placed) > MOST_LISTED:
        more = translated("and {count} more, marked in the viewport").format(count=len(placed) - MOST_LISTED)
        show_lines(box, more)
