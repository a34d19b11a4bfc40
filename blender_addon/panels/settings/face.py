"""The panel of the face: what is sculpted on it, its texture, and tones screened into the ink."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...scene import stamps
from ...translations import CONTEXT
from ..base import StampPanel, show_beside, show_operator, show_setting, show_settings

if TYPE_CHECKING:
    from bpy.types import Object, UILayout

SCALED_GRAINS = {"wood-grain", "linen", "stipple", "hatching", "ripple"}
"""Textures whose size is a figure; a picture has its width."""

SEEDED = {"wood-grain", "linen", "stipple"}
"""Textures of which there are many pieces."""


class STAMPWRIGHT_PT_face(StampPanel, bpy.types.Panel):
    """How the face is textured: by hand, by a grain, by a picture."""

    bl_label = "Face"
    bl_parent_id = "STAMPWRIGHT_PT_parts"
    subject = "face"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Offer to sculpt; show the settings of the chosen texture, and of the tone."""
        _show_sculpt(layout, root)
        face = held.face
        show_setting(layout, face, "texture")
        if face.texture != "none":
            show_settings(layout, face, "strength")
            if face.texture in SCALED_GRAINS:
                show_settings(layout, face, "scale")
            if face.texture in SCALED_GRAINS or face.texture == "picture":
                show_settings(layout, face, "turn")
            if face.texture in SEEDED:
                show_setting(layout, face, "seed")
        if face.texture != "none" or stamps.is_sculptable(root):
            show_settings(layout, face, "depth", "fineness")
        show_setting(layout, face, "tone")
        if face.tone != "none":
            show_settings(layout, face, "screen_spacing", "screen_turn")
        if face.texture == "picture" or face.tone != "none":
            _show_picture(layout, held)


def _show_sculpt(layout: UILayout, root: Object) -> None:
    die = stamps.part_of(root, "die")
    column = layout.column(align=True)
    column.scale_y = 1.3
    if die is not None and die.mode == "SCULPT":
        show_operator(column, "stampwright.end_sculpting", icon="CHECKMARK")
    else:
        show_operator(column, "stampwright.sculpt_face", icon="SCULPTMODE_HLT")
    row = show_beside(layout)
    row.operator("stampwright.import_sculpt", text="Import...", text_ctxt=CONTEXT)
    if stamps.is_sculptable(root):
        row.operator("stampwright.export_sculpt", text="Export...", text_ctxt=CONTEXT)
        row.operator("stampwright.clear_sculpt", text="Clear", text_ctxt=CONTEXT)


def _show_picture(layout: UILayout, held: Any) -> None:
    column = layout.column()
    show_setting(column, held, "picture_from")
    if held.picture_from == "IMAGE":
        column.template_ID(held, "face_image", new="image.new", open="image.open")
        if held.face_image is None:
            show_setting(column, held.face, "picture")
    else:
        column.template_ID(held, "face_texture", new="texture.new")
        if held.face_texture is not None:
            show_setting(column, held.face_texture, "type")
    show_settings(column, held.face, "picture_width")
