"""The first panel: make a stamp, and how the one of the active object stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ..building.results import SCALED, message_of
from ..job.properties import is_drawable
from ..live import following
from ..press.verdict import findings_of, verdict_of
from ..scene import stamps
from ..scene.overriding import is_locked, is_override
from ..translations import CONTEXT, said, translated
from .base import (
    CATEGORY,
    StampPanel,
    show_beside,
    show_lines,
    show_operator,
    show_setting,
    show_switches,
    show_verdict,
)

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout


class STAMPWRIGHT_PT_stamp(bpy.types.Panel):
    """The stamp itself: making one, and how it stands."""

    bl_label = "Stamp"
    bl_translation_context = CONTEXT
    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = CATEGORY

    def draw_header_preset(self, _context: Context) -> None:
        """Show the way to the guide."""
        row = self.layout.row()
        row.emboss = "NONE"
        row.operator("stampwright.open_guide", text="", icon="HELP").subject = ""

    def draw(self, context: Context) -> None:
        """Offer to make a stamp; show the one of the active object."""
        layout = self.layout
        root = stamps.stamp_of(context)
        if root is None:
            _show_start(layout, context)
            column = layout.column(align=True)
            column.active = False
            show_lines(column, translated("Select curves, texts or flat meshes, as they should print"))
            return
        _show_state(layout, root)
        if not root.stampwright.live or message_of(root) == following.STOPPED:
            show_operator(layout, "stampwright.build", icon="FILE_REFRESH")
        if context.active_object is not None and not context.active_object.stampwright.role:
            show_operator(layout, "stampwright.make_stamp", icon="ADD", text="Make Another Stamp")


class STAMPWRIGHT_PT_upkeep(StampPanel, bpy.types.Panel):
    """Its name, what it follows, and what can be done with the whole of it."""

    bl_label = "Name and Upkeep"
    bl_parent_id = "STAMPWRIGHT_PT_stamp"
    subject = "live"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show name and switches, and offer to build, select, duplicate and delete."""
        show_setting(layout, held, "job_name")
        show_switches(layout, "Follow Edits", (held, "live"))
        show_switches(layout, "Sheet", (held, "paper"))
        show_operator(layout, "stampwright.build", icon="FILE_REFRESH")
        row = show_beside(layout)
        show_operator(row, "stampwright.select_stamp", text="Select", icon="RESTRICT_SELECT_OFF")
        show_operator(row, "stampwright.duplicate_stamp", text="Duplicate", icon="DUPLICATE")
        show_operator(layout, "stampwright.delete_stamp", icon="TRASH")


def _show_start(layout: UILayout, context: Context) -> None:
    """Offer the ways to a stamp, what is quickest first: of what is selected, or of words where nothing is."""
    first = layout.column()
    first.scale_y = 1.4
    is_chosen = any(is_drawable(each) for each in context.selected_objects)
    show_operator(first if is_chosen else layout, "stampwright.make_stamp", icon="ADD")
    template = layout if is_chosen else first
    show_operator(template, "stampwright.stamp_from_template", icon="FILE_TEXT", text="Stamp from Template...")
    show_operator(layout, "stampwright.import_artwork", icon="IMPORT", text="Make Stamp from File...")


def _show_state(layout: UILayout, root: Object) -> None:
    """Say what is under way, what went wrong, or that the stamp is linked."""
    if not stamps.is_ours(root):
        show_lines(layout, translated("{name} is linked").format(name=root.name), icon="LINKED")
        layout.operator("object.make_override_library", text=translated("Change It Here"), translate=False)
        return
    is_over = is_override(root)
    layout.label(text=root.name, icon="LIBRARY_DATA_OVERRIDE" if is_over else "OUTLINER_OB_EMPTY", translate=False)
    if is_locked(root):
        show_operator(layout, "stampwright.unlock_override", icon="UNLOCKED")
    work = following.work_of(root)
    if work is not None and work.seconds > following.SLOW:
        row = layout.row(align=True)
        row.progress(factor=work.share, text=translated(work.step.capitalize()), translate=False)
        row.operator("stampwright.stop", text="", icon="X")
    show_verdict(layout, verdict_of(root))
    if any(finding.kind == SCALED for finding in findings_of(root)):
        show_operator(layout, "stampwright.apply_scale", icon="FULLSCREEN_ENTER")
    message = message_of(root)
    if message:
        box = layout.box().column(align=True)
        box.alert = True
        show_lines(box, said(message), icon="ERROR")
