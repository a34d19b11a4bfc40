"""The panels of ink and push: what a push prints, and how the stamp wants to be pressed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import bpy

from ...live import following
from ...press import pressing
from ...scene import stamps
from ...stampwright.looks.numbers import percent
from ...translations import CONTEXT, said, translated
from ..base import (
    CATEGORY,
    StampPanel,
    show_beside,
    show_lines,
    show_operator,
    show_setting,
    show_settings,
    show_switches,
)

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout

ICON = 20
"""Pixels of an icon at a scale of 1."""

WIDEST = 16.0
"""Scale of the push curve at most; wider panels leave room beside it."""


class STAMPWRIGHT_PT_press(StampPanel, bpy.types.Panel):
    """What the push prints, and what push it takes."""

    bl_label = "Press"
    bl_parent_id = "STAMPWRIGHT_PT_findings"
    subject = "press"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the push, what comes of it, and the push curve."""
        press = held.press
        limit = "pressure" if held.bend.form == "flat" else "line_force"
        show_settings(layout, press, "force", limit)
        show_settings(layout, press, "off_centre_x", "off_centre_y")
        show_setting(layout, press, "turning")
        show_settings(layout, press, "dressing_done")
        show_switches(layout, "After Edits", (held, "press_live"))
        if held.paper:
            show_setting(layout, held, "sheet")
        layout.prop(held, "show_pressure")
        known = pressing.known_of(root)
        _show_state(layout, root, known)
        if known.trial is not None:
            _show_outcome(layout, held, known.trial)
        row = show_beside(layout)
        show_operator(row, "stampwright.press", icon="PLAY")
        show_operator(row, "stampwright.draw_push_curve", icon="IMAGE_DATA", text="Curve")
        if known.curve:
            layout.template_icon(icon_value=known.curve, scale=_room())


class STAMPWRIGHT_PT_press_mesh(bpy.types.Panel):
    """Pressing a mesh that is no part of a stamp."""

    bl_label = "Press This Mesh"
    bl_translation_context = CONTEXT
    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = CATEGORY
    bl_options = {"DEFAULT_CLOSED"}

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show only with a mesh that is neither part of a stamp nor its artwork."""
        active = context.active_object
        if active is None or active.type != "MESH" or active.stampwright.role:
            return False
        return all(active not in stamps.drawn_by(root) for root in stamps.stamps_in(context.scene))

    def draw(self, context: Context) -> None:
        """Offer to press it, with a printed face and without."""
        row = show_beside(self.layout)
        row.operator("stampwright.press_mesh", text="Undressed", text_ctxt=CONTEXT).printed = True
        row.operator("stampwright.press_mesh", text="As It Is", text_ctxt=CONTEXT).printed = False


class STAMPWRIGHT_PT_assumptions(StampPanel, bpy.types.Panel):
    """What would help, and what is assumed."""

    bl_label = "Advice, Assumptions"
    bl_parent_id = "STAMPWRIGHT_PT_press"

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show only once the stamp has been pressed fully."""
        root = stamps.stamp_of(context)
        trial = pressing.known_of(root).trial if root is not None else None
        return trial is not None and trial.full

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Say what would help, then each assumption with what its ends do."""
        report = pressing.known_of(root).trial.report
        for piece in report.advice:
            show_lines(layout.box(), said(piece.message), icon="CHECKMARK" if piece.enough else "DOT")
        for effect in report.sensitivities:
            show_lines(layout.box(), str(effect), icon="QUESTION")


class STAMPWRIGHT_PT_ink(StampPanel, bpy.types.Panel):
    """The ink, the pad that it comes from, and what lies under the paper."""

    bl_label = "Ink, Face and Paper"
    subject = "ink"
    bl_parent_id = "STAMPWRIGHT_PT_press"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the settings of ink, ink pad, printed face and bedding."""
        ink, press = held.ink, held.press
        show_settings(layout, ink, "colour", "film", "solid_from", "density", title="Ink", drop="Ink ")
        show_settings(
            layout, ink, "pad_thickness", "pad_stiffness", "pad_force", "pad_pressure", title="Ink Pad", drop="Pad "
        )
        show_settings(layout, press, "bow", "bead_turn", title="Printed Face", drop="Face ")
        show_settings(layout, press, "bedding", "bedding_stiffness", title="Paper and Bedding", drop="Bedding ")


def _show_state(layout: UILayout, root: Object, known: pressing.KnownPress) -> None:
    """Say what is under way, or what stood against it."""
    work = pressing.work_of(root)
    if work is not None and work.seconds > following.SLOW:
        row = layout.row(align=True)
        row.progress(factor=work.share, text=translated(work.step.capitalize()), translate=False)
        row.operator("stampwright.stop_pressing", text="", icon="X")
    if known.message:
        box = layout.box()
        box.alert = True
        show_lines(box, said(known.message), icon="ERROR")


def _show_outcome(layout: UILayout, held: Any, trial: Any) -> None:
    """Show what the push prints and what it takes, in the fewest words."""
    box = layout.box().column(align=True)
    for text, icon in _told(held, trial):
        show_lines(box, text, icon=icon)


def _room() -> float:
    """Return how many icons wide the panel is, within what the push curve may take."""
    context = bpy.context
    width = context.region.width if context.region is not None else 0
    return min(max(width / (ICON * context.preferences.system.ui_scale) - 2.0, 4.0), WIDEST)


def _told(held: Any, trial: Any) -> Iterator[tuple[str, Any]]:
    """Yield each figure in words, with an icon that says whether it will do."""
    report = trial.report
    hand, whole_at = report.hand.newtons, report.finished.whole_at
    yield (
        translated("{force:.3g} N prints {share} of the face").format(
            force=trial.force, share=percent(trial.printed_share, 1)
        ),
        "DOT",
    )
    if whole_at is None:
        yield translated("No push prints it whole"), "ERROR"
    else:
        yield (
            translated("{force:.0f} N prints it whole").format(force=whole_at),
            "CHECKMARK" if whole_at <= hand else "ERROR",
        )
    yield translated("Push by hand at most {force:.0f} N").format(force=hand), "DOT"
    yield translated("Greatest pressure: {pressure:.2f} MPa").format(pressure=trial.peak), "DOT"
    if report.needed is None:
        yield translated("No dressing makes a hand enough"), "ERROR"
    elif report.needed > 0.0:
        yield translated("A hand is enough, dressed {depth:.1f} mm").format(depth=max(report.needed, 0.1)), "DOT"
    if report.off_centre is not None and report.off_centre.reach > 0.0:
        yield translated("Whole up to {reach:.1f} mm off centre").format(reach=report.off_centre.reach), "DOT"
    if held.show_pressure:
        yield translated("On the die: blue 0 to yellow {pressure:g} MPa").format(pressure=trial.scale_top), "COLOR"
