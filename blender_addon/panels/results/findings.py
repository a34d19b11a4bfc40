"""The panels of the findings: what will not print, where, and what repair may do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...building.results import can_repair, repair_of
from ...job.settings import read_names
from ...press.verdict import findings_of, verdict_of
from ...remedy import looking
from ...scene import stamps
from ...translations import CONTEXT, said, translated
from ..base import (
    IN_BUTTON,
    ROUND_LINES,
    StampPanel,
    has_room,
    is_narrow,
    sentence,
    show_beside,
    show_lines,
    show_operator,
    show_setting,
    show_settings,
    show_switches,
    show_verdict,
    width_of,
    width_shown,
    wrapped,
)
from ..signs import sign_icon

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout

    from ...stampwright.findings import Severity

_COUNTED: tuple[Severity, ...] = ("blocks", "warns")

IN_ROW = 20.0
"""Pixels that an icon takes of a button that stands beside others."""

MOST_BESIDE = 3
"""Figures that stand beside each other where there is room."""

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
            if count and has_room(self, 2):
                self.layout.label(text=str(count), icon_value=sign_icon(severity))
        self.show_help_beside(2)

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """List the findings by kind, with what can be done about them."""
        found = findings_of(root)
        row = show_beside(layout)
        row.use_property_split = False
        if held.preflight.repair:
            row.prop(held.preflight, "repair", text="Repaired", text_ctxt=CONTEXT, toggle=True, icon="CHECKMARK")
        elif any(can_repair(root, finding) for finding in found):
            show_operator(row, "stampwright.repair", text="Repair All", icon="MODIFIER")
        if repair_of(root) is not None:
            show_operator(row, "stampwright.write_outline", text="As Curve", icon="OUTLINER_OB_CURVE")
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
        show_operator(layout, "stampwright.find_ways", icon="VIEWZOOM")
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
            show_lines(layout, translated("Accepted: warn, and do not block"))
        for kind in accepted:
            row = layout.row(align=True)
            row.label(text=translated(kind.capitalize()), translate=False)
            refuse = row.operator("stampwright.accept", text="", icon="X")
            refuse.kind, refuse.accepted = kind, False


def _show_kind(layout: UILayout, root: Object, severity: Severity, kind: str, alike: list[tuple[int, Any]]) -> None:
    box = layout.box().column(align=True)
    row = show_beside(box)
    count = f" ({len(alike)})" if len(alike) > 1 else ""
    show_lines(row, f"{translated(kind.capitalize())}{count}", number=sign_icon(severity))
    if severity == "blocks" and alike[0][1].stage == "preflight":
        row.operator("stampwright.accept", text="Accept", text_ctxt=CONTEXT).kind = kind
    placed = [(number, finding) for number, finding in alike if finding.place is not None]
    first = alike[0][1]
    told = first.remedy if placed and first.remedy and severity != "notes" else first.message
    for line in wrapped(sentence(said(told))):
        box.label(text=line, translate=False)
    if not placed:
        return
    flow = box.grid_flow(columns=_columns(root, placed), even_columns=True, align=True)
    for number, finding in placed[:MOST_LISTED]:
        text = _measure_told(finding)
        pair = flow.row(align=True)
        icon: Any = "NONE" if is_narrow() else "VIEWZOOM"
        pair.operator("stampwright.view_finding", text=text, icon=icon, translate=False).number = number
        if can_repair(root, finding):
            pair.operator("stampwright.repair_finding", text="", icon="MODIFIER").number = number
    if len(placed) > MOST_LISTED:
        more = translated("and {count} more, marked in the viewport").format(count=len(placed) - MOST_LISTED)
        show_lines(box, more)


def _measure_told(finding: Any) -> str:
    """Return what the button that brings a finding into view says: its measure, if it has one."""
    told = finding.measured is not None and finding.unit
    return f"{finding.measured:.2f} {finding.unit}" if told else translated("View")


def _columns(root: Object, placed: list[tuple[int, Any]]) -> int:
    """Return how many figures stand beside each other uncut, some with a wrench."""
    wrench = IN_ROW if any(can_repair(root, finding) for _, finding in placed[:MOST_LISTED]) else 0.0
    sign = 0.0 if is_narrow() else IN_ROW
    widest = max(width_of(_measure_told(finding)) for _, finding in placed[:MOST_LISTED])
    return max(1, min(MOST_BESIDE, int((width_shown() - ROUND_LINES) / (widest + sign + wrench + IN_BUTTON))))
