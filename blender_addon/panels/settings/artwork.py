"""The panels of the artwork and of the outline of the base it stands on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ...artwork.choosing import ink_choice, offered
from ...building.results import is_behind, stamp_made
from ...scene.images import picture_on
from ...translations import CONTEXT, translated
from ..base import (
    StampPanel,
    is_narrow,
    settings_in,
    show_lines,
    show_operator,
    show_picker,
    show_setting,
    show_settings,
)

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout

    from ...artwork.choosing import Sort


OUTLINER = {"GPENCIL": "GREASEPENCIL"}
"""Types of object, of 4.2, whose icon is not named as they are."""


TITLES: dict[Sort, str] = {"material": "Materials", "layer": "Layers", "collection": "Collections"}
"""What ink is chosen by."""

FITTED = ("fit", "drawn")
"""Sizes by which artwork fits the base, or does where it has none of its own."""


class STAMPWRIGHT_UL_sources(bpy.types.UIList):
    """What a stamp is drawn with."""

    def draw_item(  # noqa: PLR0917
        self,
        context: Context,
        layout: UILayout,
        data: Any,
        item: Any,
        icon: int | None,
        active_data: Any,
        active_property: str | None,
        index: int | None,
        flt_flag: int | None,
    ) -> None:
        """Show one object, and how it is drawn; the host asks for all of the arguments."""
        del context, data, icon, active_data, active_property, index, flt_flag
        source = item
        if source.object is None:
            layout.label(text="Deleted", text_ctxt=CONTEXT, icon="QUESTION")
            return
        kind = source.object.type
        sign: Any = f"OUTLINER_OB_{OUTLINER.get(kind, kind)}"
        layout.label(text=source.object.name, icon=sign, translate=False)


class STAMPWRIGHT_PT_artwork(StampPanel, bpy.types.Panel):
    """What is printed, and how large."""

    bl_label = "Artwork"
    subject = "artwork"
    bl_options = set()

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """List the sources, and show size and place."""
        row = layout.row()
        row.template_list("STAMPWRIGHT_UL_sources", "", held, "sources", held, "active_source", rows=2, maxrows=6)
        column = row.column(align=True)
        column.operator("stampwright.add_artwork", text="", icon="ADD")
        column.operator("stampwright.remove_artwork", text="", icon="REMOVE")
        if 0 <= held.active_source < len(held.sources):
            source = held.sources[held.active_source]
            _show_source(layout, source)
            if held.face.texture != "none" and source.object is not None:
                layout.prop(source, "textured")
        if not any(source.object for source in held.sources):
            show_setting(layout, held, "artwork_file")
        _show_size(layout, root)
        settings = held.layout
        column = layout.column()
        show_setting(column, settings, "size_by")
        if settings.size_by in ("width", "height"):
            show_setting(column, settings, settings.size_by)
        elif settings.size_by in FITTED:
            if held.base.outline != "follow":
                show_setting(column, settings, "margin")
            column.prop(settings, "turn_to_fit")
        show_setting(column, settings, "turn")
        column.prop(settings, "mirror")
        show_setting(column, settings, "centre")
        if _is_bitmap(held):
            show_settings(layout, held.tracing, *settings_in(held.tracing), title="Tracing")


class STAMPWRIGHT_PT_reversal(StampPanel, bpy.types.Panel):
    """What somebody is told who looks for a mirror; a menu opens it, and it has no place in the sidebar."""

    bl_label = "Mirror, Flip or Reverse"
    bl_region_type: Any = "HEADER"
    bl_category = ""
    subject = "reversal"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Say who reverses a stamp, and show the one switch for drawings that were made reversed."""
        layout.label(text="Mirror, Flip or Reverse", text_ctxt=CONTEXT)
        told = "A stamp is reversed once, by itself: it prints as you drew it, and its sheet shows the print"
        show_lines(layout, translated(told), icon="MOD_MIRROR")
        layout.prop(held.layout, "mirror")
        show_operator(layout, "stampwright.open_guide", text="Guide", icon="HELP").subject = "reversal"


class STAMPWRIGHT_PT_ink_choice(StampPanel, bpy.types.Panel):
    """Which of what is drawn prints."""

    bl_label = "Which Is Ink"
    bl_parent_id = "STAMPWRIGHT_PT_artwork"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """List materials, layers and collections with a tick each, or by what a file's colours are ink."""
        if not any(source.object for source in held.sources):
            settings = held.tracing
            show_setting(layout, settings, "ink_by")
            if settings.ink_by == "darkness":
                show_setting(layout, settings, "ink_darker_than")
            elif settings.ink_by == "colours":
                show_setting(layout, settings, "ink_colours")
            show_setting(layout, settings, "ink_layers")
            return
        choice = ink_choice(held)
        names = offered(held.sources)
        # What is left out and in the artwork no more may come back.
        for sort, title in TITLES.items():
            known = dict.fromkeys((*names[sort], *(name for each, name in sorted(choice.left_out) if each == sort)))
            if known:
                layout.label(text=title, text_ctxt=CONTEXT)
            column = layout.column(align=True)
            for name in known:
                prints = (sort, name) not in choice.left_out
                row = column.row()
                row.alignment = "LEFT"
                shown = row.operator(
                    "stampwright.choose_ink",
                    text=_ink_named(sort, name),
                    translate=False,
                    icon="CHECKBOX_HLT" if prints else "CHECKBOX_DEHLT",
                    emboss=False,
                )
                shown.sort, shown.name, shown.prints = sort, name, not prints


def _ink_named(sort: Sort, name: str) -> str:
    """Return what a material, layer or collection is called: what the host names itself, as it names that."""
    if not name:
        return translated("No Material")
    is_hosts = sort == "collection" and name == bpy.context.scene.collection.name
    return str(bpy.app.translations.pgettext_iface(name)) if is_hosts else name


class STAMPWRIGHT_PT_base(StampPanel, bpy.types.Panel):
    """The outline of the base, in the first panel: it is what sets a stamp's size."""

    bl_label = "Base"
    bl_parent_id = "STAMPWRIGHT_PT_stamp"
    bl_options = {"HIDE_HEADER"}

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the settings of the chosen form."""
        base = held.base
        layout.label(text="Base", text_ctxt=CONTEXT)
        if held.bend.form == "roller":
            _show_bend(layout, held.bend)
            return
        show_setting(layout, base, "outline")
        match base.outline:
            case "round":
                show_settings(layout, base, "width")
            case "rectangle":
                show_settings(layout, base, "width", "height", "corner_radius")
            case "ellipse":
                show_settings(layout, base, "width", "height")
            case "follow":
                if held.layout.size_by in FITTED:
                    show_settings(layout, base, "width", "height")
                show_settings(layout, base, "margin", "smoothing")
            case "custom":
                show_picker(layout, held, "base_curve")
        _show_bend(layout, held.bend)


def _show_bend(layout: UILayout, bend: Any) -> None:
    """Show what the die is bent to; a roller's repeat stands in place of a base."""
    show_setting(layout, bend, "form")
    if bend.form != "flat":
        # The handles in the viewport stand on a flat base.
        show_lines(layout, translated("Sized in this panel alone"), icon="INFO")
    match bend.form:
        case "rocker":
            show_settings(layout, bend, "radius", "rolls", "stands")
        case "roller":
            show_setting(layout, bend, "size_by")
            show_settings(layout, bend, "repeat" if bend.size_by == "repeat" else "radius", "turns", "band")
            show_settings(layout, bend, "rolls", "seam", "stands")
            show_settings(layout, bend, "axle", "play")


def _show_source(layout: UILayout, source: Any) -> None:
    """Show how an object is drawn, and how wide its lines are where nothing else says so."""
    drawn = source.object
    if drawn is None:
        return
    show_setting(layout, source, "plane")
    plain = False
    if drawn.type == "FONT":
        _show_font(layout, drawn.data)
    if drawn.type in ("CURVE", "FONT"):
        show_setting(layout, source, "drawn_as")
        if drawn.data.bevel_depth == 0 and source.drawn_as != "FILL":
            is_open = any(not spline.use_cyclic_u for spline in drawn.data.splines)
            plain = is_open or source.drawn_as == "LINE" or drawn.data.fill_mode == "NONE"
    elif drawn.type == "MESH":
        plain = not len(drawn.data.polygons)
    if plain:
        show_setting(layout, source, "line_width")


def _show_font(layout: UILayout, letters: Any) -> None:
    """Show which font a text is set in, as where the host shows it."""
    column = layout.column(align=True)
    if is_narrow():
        column.label(text="Font", text_ctxt=CONTEXT)
        column.template_ID(letters, "font", open="font.open", unlink="font.unlink")
    else:
        column.template_ID(letters, "font", open="font.open", unlink="font.unlink", text="Font", text_ctxt=CONTEXT)


def _show_size(layout: UILayout, root: Object) -> None:
    """Say how large the ink is on paper, and how that is to the drawing."""
    stamp = stamp_made(root)
    if stamp is None or stamp.inked.is_empty:
        return
    left, bottom, right, top = stamp.inked.bounds
    column = layout.column()
    column.active = not is_behind(root)
    told = translated("Prints {width:.1f} x {height:.1f} mm, {scale}")
    shown = told.format(width=right - left, height=top - bottom, scale=_scale_told(stamp.layout.scale))
    show_lines(column, shown, icon="DRIVER_DISTANCE")


def _scale_told(scale: float) -> str:
    """Return a magnification as draughtsmen write it.

    >>> _scale_told(0.5), _scale_told(1.0), _scale_told(2.5), _scale_told(1 / 43.4)
    ('1 : 2', '1 : 1', '2.5 : 1', '1 : 43')
    """
    return f"{scale:.3g} : 1" if scale > 1 else f"1 : {1 / scale:.2g}" if scale > 0.1 else f"1 : {1 / scale:.0f}"


def _is_bitmap(held: Any) -> bool:
    shown = held.artwork_file.lower()
    drawn = [source.object for source in held.sources if source.object is not None]
    if any(_shows_picture(each) for each in drawn):
        return True
    return not drawn and shown.endswith((".png", ".jpg", ".jpeg", ".tif", ".tiff", ".bmp", ".webp", ".gif"))


def _shows_picture(drawn: Object) -> bool:
    """Whether an object is a reference, or may be a plane with a picture."""
    if drawn.type == "MESH":
        return len(drawn.data.polygons) == 1 and picture_on(drawn) is not None
    return drawn.type == "EMPTY" and drawn.empty_display_type == "IMAGE"
