"""The panels of several inks: parting artwork into a stamp for each, and how these are held in register."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...artwork.choosing import drawn_with
from ...job.inks import stamps_of_set
from ...press import ink_proofs
from ...translations import said, translated
from ..base import StampPanel, settings_in, show_beside, show_lines, show_operator, show_settings

if TYPE_CHECKING:
    from bpy.types import Object, UILayout


class STAMPWRIGHT_PT_inks(StampPanel, bpy.types.Panel):
    """A stamp for each ink: which there are, and what they print together."""

    bl_label = "Inks"
    subject = "inks"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Offer to part the artwork; list the stamps of its set, the one that is shown with its own ink."""
        members = stamps_of_set(root, bpy.context.scene)
        if not members:
            show_operator(layout, "stampwright.part_into_inks", icon="COLOR")
            column = layout.column(align=True)
            column.active = False
            count = len(materials_of(held))
            told = translated("Materials in the artwork: {count}").format(count=count)
            show_lines(column, told if count else translated("Give what shall print in another ink another material"))
            return
        column = layout.column(align=True)
        for each in members:
            plate, row = each.stampwright.plate, column.row(align=True)
            row.prop(plate, "colour", text="")
            icon: Any = "RADIOBUT_ON" if each is root else "RADIOBUT_OFF"
            row.operator("stampwright.show_ink", text=plate.ink, icon=icon, translate=False).stamp_name = each.name
        show_settings(layout, held.plate, "order", "laid")
        _show_proof(layout, root)
        show_operator(layout, "stampwright.prove_inks", icon="IMAGE_RGB")
        row = show_beside(layout)
        show_operator(row, "stampwright.part_into_inks", text="Part Again", icon="FILE_REFRESH")
        show_operator(row, "stampwright.print_in_one_ink", icon="X")


class STAMPWRIGHT_PT_register(StampPanel, bpy.types.Panel):
    """How the stamps of several inks are brought to the same place."""

    bl_label = "Inks in Register"
    bl_parent_id = "STAMPWRIGHT_PT_inks"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show gauge, trap and marks."""
        layout.prop(held.backing, "key")
        show_settings(layout, held.register, *settings_in(held.register))


def materials_of(held: Any) -> set[str]:
    """Return the names of all materials that a stamp's artwork has; what has none counts as one."""
    return {
        slot.material.name if slot.material is not None else ""
        for drawn in drawn_with(held.sources)
        for slot in drawn.material_slots
    }


def _show_proof(layout: UILayout, root: Object) -> None:
    """Say how far impressions miss, and what shows of that."""
    known, proof = ink_proofs.known_of(root), ink_proofs.proof_of(root)
    if known.message:
        show_lines(layout, said(known.message), icon="ERROR")
    if proof is None:
        show_lines(layout, translated("Not proven as it is now"), icon="TIME")
        return
    play, worst = proof.made.play, proof.made.misregister.worst
    told = translated("Inks likely miss by {likely:.2f} mm, {worst:.2f} mm at most")
    show_lines(layout, told.format(likely=play.likely, worst=play.worst), icon="DRIVER_DISTANCE")
    told = translated("White gaps at worst: {area:.2f} mm², {width:.2f} mm wide")
    show_lines(layout, told.format(area=worst.gap_area, width=worst.gap_width), icon="IMAGE_ALPHA")
