"""The panels of pictures: how the stamp looks, how it is arranged, and rendering it to a file."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...mockup import stage, timing
from ...translations import translated
from ..base import StampPanel, is_narrow, show_beside, show_lines, show_operator, show_setting

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout

LOOKS = ("die", "backing", "handle")


class _PicturePanel(StampPanel):
    """A panel on pictures; it shows in a picture too, where the stamp itself is not."""

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show with a stamp, and in a picture of one."""
        return stage.pictured(context) is not None

    def draw(self, context: Context) -> None:
        """Lay out the panel for the pictured stamp."""
        root = stage.pictured(context)
        if root is None:
            # The stamp was deleted, its picture was not.
            show_operator(self.layout, "stampwright.leave_picture", icon="LOOP_BACK")
            show_operator(self.layout, "stampwright.remove_pictures", icon="TRASH")
            return
        self.layout.use_property_split = not is_narrow()
        self.layout.use_property_decorate = False
        self.show(self.layout, root, root.stampwright.pictures)


class STAMPWRIGHT_PT_pictures(_PicturePanel, bpy.types.Panel):
    """Pictures of the finished stamp."""

    bl_label = "Pictures"
    subject = "pictures"

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show in every picture, also when its stamp is gone."""
        return stage.MARK in context.scene or super().poll(context)

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Offer the arrangements, size and quality, and the one button that renders."""
        if stage.MARK in bpy.context.scene:
            show_operator(layout, "stampwright.leave_picture", icon="LOOP_BACK")
        layout.template_icon_view(held, "look", show_labels=True, scale=6.0, scale_popup=5.0)
        grid = layout.grid_flow(columns=1 if is_narrow() else 2, even_columns=True, align=True)
        show_operator(grid, "stampwright.picture_beside", icon="MOD_MIRROR")
        show_operator(grid, "stampwright.picture_held", icon="TRIA_DOWN_BAR")
        show_operator(grid, "stampwright.picture_apart", icon="SNAP_FACE_CENTER")
        show_operator(grid, "stampwright.picture_flat_lay", icon="GRID")
        column = layout.column(align=True)
        show_setting(column, held, "width")
        show_setting(column, held, "height")
        show_setting(column, held, "engine")
        # Across the whole panel: beside a label three buttons are too narrow for their words.
        row = show_beside(layout)
        row.use_property_split = False
        row.prop(held, "quality", expand=True)
        show_setting(layout, held, "folder")
        column = layout.column()
        column.scale_y = 1.3
        show_operator(column, "stampwright.render_picture", icon="RENDER_STILL")
        row = layout.row()
        told = _estimate(held)
        row.label(text=told[0].upper() + told[1:], icon="TIME")
        row.operator("stampwright.estimate_picture", text="", icon="FILE_REFRESH")
        if timing.is_first_use(held.engine):
            show_lines(layout, translated(timing.COMPILES), icon="INFO")
        if next(stage.pictures(), None) is not None:
            show_operator(layout, "stampwright.remove_pictures", icon="TRASH")


class STAMPWRIGHT_PT_looks(_PicturePanel, bpy.types.Panel):
    """Colours and finishes in pictures."""

    bl_label = "Colours and Finishes"
    bl_parent_id = "STAMPWRIGHT_PT_pictures"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show a colour and a finish for each part, and what lies round them."""
        for part in LOOKS:
            column = layout.column(align=True)
            show_setting(column, held, f"{part}_colour")
            show_setting(column, held, f"{part}_finish")
        column = layout.column(align=True)
        show_setting(column, held, "ink")
        column.prop(held, "inked")
        row = layout.row()
        row.enabled = stage.MARK not in bpy.context.scene
        show_operator(row, "stampwright.use_materials", icon="MATERIAL")


class STAMPWRIGHT_PT_surroundings(_PicturePanel, bpy.types.Panel):
    """Ground, light and camera of pictures, and what is shown beside the stamp."""

    bl_label = "Ground, Light, Camera"
    bl_parent_id = "STAMPWRIGHT_PT_pictures"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show what lies and shines round the stamp, and what the next picture keeps of this one."""
        column = layout.column(align=True)
        show_setting(column, held, "ground")
        show_setting(column, held, "light")
        show_setting(column, held, "lay")
        column = layout.column(align=True)
        for name in ("transparent", "pad", "names"):
            column.prop(held, name)
        column = layout.column(align=True)
        column.prop(held, "keep_camera")
        column.prop(held, "keep_stage")


class STAMPWRIGHT_PT_films(_PicturePanel, bpy.types.Panel):
    """Films of the stamp turning, and pressing."""

    bl_label = "Films"
    subject = "films"
    bl_parent_id = "STAMPWRIGHT_PT_pictures"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Offer the films, their length, and the button that renders them."""
        column = layout.column(align=True)
        show_setting(column, held, "seconds")
        show_setting(column, held, "frame_rate")
        show_setting(column, held, "exaggerated")
        row = show_beside(layout)
        show_operator(row, "stampwright.film_turntable", icon="FILE_REFRESH")
        show_operator(row, "stampwright.film_press", icon="TRIA_DOWN_BAR")
        show_operator(layout, "stampwright.film_apart", icon="SNAP_FACE_CENTER")
        scene = bpy.context.scene
        column = layout.column()
        column.enabled = stage.MARK in scene
        show_operator(column, "stampwright.render_film", icon="RENDER_ANIMATION")
        if stage.MARK in scene:
            frames = scene.frame_end - scene.frame_start + 1
            told = _estimate(held, frames)
            show_lines(layout, translated("{frames} frames take {time}").format(frames=frames, time=told), icon="TIME")


def _estimate(held: Any, frames: int = 1) -> str:
    return str(timing.estimate(timing.effort_of(held), frames))
