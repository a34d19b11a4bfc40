"""The panels in the viewport's sidebar, in the order of the job; only what applies is shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import bpy

from . import live, presets, stamps
from .figures import in_labels
from .results import findings_of, message_of, stamp_made

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout

CATEGORY = "Stampwright"

SIGNS = {"blocks": "CANCEL", "warns": "ERROR", "notes": "INFO"}
"""Icon of each severity, told apart by shape: a crossed circle, a triangle, a letter."""

MOST_LISTED = 12
"""Findings of one sort that the list shows; the overlay shows them all."""


class _StampPanel:
    """A panel on the stamp of the active object."""

    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = CATEGORY
    bl_options = {"DEFAULT_CLOSED"}
    layout: UILayout

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show only with a stamp."""
        return stamps.stamp_of(context) is not None

    def draw(self, context: Context) -> None:
        """Lay out the panel for the stamp."""
        root = stamps.stamp_of(context)
        if root is None:
            return
        layout = self.layout
        layout.use_property_split = True
        layout.use_property_decorate = False
        layout.enabled = stamps.is_ours(root)
        self.show(layout, root, root.stampwright)

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Lay out what the panel is for."""
        raise NotImplementedError


class STAMPWRIGHT_PT_stamp(bpy.types.Panel):
    """The stamp itself: making one, and how it stands."""

    bl_label = "Stamp"
    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = CATEGORY

    def draw(self, context: Context) -> None:
        """Offer to make a stamp; show the one of the active object."""
        layout = self.layout
        root = stamps.stamp_of(context)
        if root is None:
            making = layout.column()
            making.scale_y = 1.4
            making.operator("stampwright.make_stamp", icon="ADD")
            layout.operator("stampwright.import_artwork", icon="IMPORT", text="Make Stamp from File...")
            column = layout.column(align=True)
            column.active = False
            column.label(text="Select curves, texts or flat")
            column.label(text="meshes, as they should print")
            return
        _show_state(layout, root)
        layout.use_property_split = True
        layout.use_property_decorate = False
        held = root.stampwright
        column = layout.column()
        column.enabled = stamps.is_ours(root)
        column.prop(held, "job_name")
        column.prop(held, "standing")
        row = column.row(heading="Follow Edits")
        row.prop(held, "live")
        row = column.row(heading="Sheet")
        row.prop(held, "paper")
        if not held.live:
            column.operator("stampwright.build", icon="FILE_REFRESH")
        if context.active_object is not None and not context.active_object.stampwright.role:
            layout.operator("stampwright.make_stamp", icon="ADD", text="Make Another Stamp")


def _show_state(layout: UILayout, root: Object) -> None:
    """Say what is under way, what went wrong, or that the stamp is linked."""
    if not stamps.is_ours(root):
        layout.label(text=f"{root.name} is linked", icon="LINKED")
        return
    layout.label(text=root.name, icon="OUTLINER_OB_EMPTY")
    work = live.work_of(root)
    if work is not None and work.seconds > live.SLOW:
        row = layout.row(align=True)
        row.progress(factor=work.share, text=work.step.capitalize())
        row.operator("stampwright.stop", text="", icon="X")
    message = message_of(root)
    if message:
        box = layout.box().column(align=True)
        box.alert = True
        for number, line in enumerate(_wrapped(in_labels(message))):
            box.label(text=line, icon="ERROR" if number == 0 else "BLANK1")


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
            layout.label(text="Deleted", icon="QUESTION")
            return
        row = layout.row(align=True)
        row.label(text=source.object.name, icon=f"OUTLINER_OB_{source.object.type}")
        if source.object.type in ("CURVE", "FONT"):
            row.prop(source, "drawn_as", text="")


class STAMPWRIGHT_PT_artwork(_StampPanel, bpy.types.Panel):
    """What is printed, and how large."""

    bl_label = "Artwork"
    bl_options: set[str] = set()

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """List the sources, and show size and place."""
        row = layout.row()
        row.template_list("STAMPWRIGHT_UL_sources", "", held, "sources", held, "active_source", rows=2, maxrows=6)
        column = row.column(align=True)
        column.operator("stampwright.add_artwork", text="", icon="ADD")
        column.operator("stampwright.remove_artwork", text="", icon="REMOVE")
        if 0 <= held.active_source < len(held.sources):
            source = held.sources[held.active_source]
            if source.object is not None and source.object.type in ("CURVE", "FONT", "MESH"):
                layout.prop(source, "line_width")
        if not any(source.object for source in held.sources):
            layout.prop(held, "artwork_file")
        figures = held.layout
        column = layout.column()
        column.prop(figures, "size_by")
        if figures.size_by in ("width", "height"):
            column.prop(figures, figures.size_by)
        elif figures.size_by == "fit":
            column.prop(figures, "margin")
        column.prop(figures, "rotation")
        column.prop(figures, "centre")
        if _is_bitmap(held):
            _show_all(layout, held.tracing, heading="Tracing")


class STAMPWRIGHT_PT_base(_StampPanel, bpy.types.Panel):
    """The outline of the base."""

    bl_label = "Base"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the chosen form."""
        base = held.base
        layout.prop(base, "outline")
        column = layout.column(align=True)
        match base.outline:
            case "round":
                column.prop(base, "width", text="Diameter (mm)")
            case "rectangle" | "ellipse":
                column.prop(base, "width")
                column.prop(base, "height")
                if base.outline == "rectangle":
                    layout.prop(base, "corner_radius")
            case "follow":
                column.prop(base, "width")
                column.prop(base, "height")
                layout.prop(base, "margin")
                layout.prop(base, "smoothing")
            case "custom":
                layout.prop(held, "base_curve")


class STAMPWRIGHT_PT_findings(_StampPanel, bpy.types.Panel):
    """What will not print, or not well."""

    bl_label = "Findings"
    bl_options: set[str] = set()

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
        row = layout.row(align=True)
        row.use_property_split = False
        if held.preflight.repair:
            row.prop(held.preflight, "repair", text="Repaired", toggle=True, icon="CHECKMARK")
            row.operator("stampwright.write_outline", text="As Curve", icon="OUTLINER_OB_CURVE")
        else:
            row.operator("stampwright.repair", icon="MODIFIER")
        found = findings_of(root)
        if stamp_made(root) is None:
            layout.label(text="Not examined yet")
        elif not found:
            layout.label(text="Nothing found: this prints", icon="CHECKMARK")
        kinds: dict[tuple[str, str], list[int]] = {}
        for number, finding in enumerate(found):
            kinds.setdefault((finding.severity, finding.kind), []).append(number)
        for (severity, kind), numbers in kinds.items():
            self._show_kind(layout, severity, kind, [(number, found[number]) for number in numbers])

    def _show_kind(self, layout: UILayout, severity: str, kind: str, alike: list[tuple[int, Any]]) -> None:
        box = layout.box().column(align=True)
        row = box.row(align=True)
        count = f" ({len(alike)})" if len(alike) > 1 else ""
        row.label(text=f"{kind.capitalize()}{count}", icon=SIGNS[severity])
        if severity == "blocks":
            accept = row.operator("stampwright.accept", text="Accept", emboss=True)
            accept.kind = kind
        placed = [(number, finding) for number, finding in alike if finding.place is not None]
        first = alike[0][1]
        told = first.remedy if placed and first.remedy and severity != "notes" else first.message
        for line in _wrapped(in_labels(told)):
            box.label(text=line)
        if not placed:
            return
        flow = box.grid_flow(columns=3, even_columns=True, align=True)
        for number, finding in placed[:MOST_LISTED]:
            text = f"{finding.measured:.2f} {finding.unit}" if finding.measured is not None else "View"
            flow.operator("stampwright.view_finding", text=text, icon="VIEWZOOM").number = number
        if len(placed) > MOST_LISTED:
            box.label(text=f"and {len(placed) - MOST_LISTED} more, marked in the viewport")


class STAMPWRIGHT_PT_repair(_StampPanel, bpy.types.Panel):
    """What is looked for, and what repair may do."""

    bl_label = "Limits and Repair"
    bl_parent_id = "STAMPWRIGHT_PT_findings"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the limits, and what repair may change."""
        figures = held.preflight
        column = layout.column(align=True)
        for name in ("block_lines", "warn_lines", "speck", "dot", "isolation", "cover", "points_per_mm"):
            column.prop(figures, name)
        column = layout.column(heading="Repair May")
        for name in ("repair_lines", "repair_gaps", "repair_spikes"):
            column.prop(figures, name)
        column.prop(figures, "repair_specks")
        layout.prop(figures, "accept", text="Accepted")


class STAMPWRIGHT_PT_die(_StampPanel, bpy.types.Panel):
    """The soft part."""

    bl_label = "Die"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the die's figures and the ink's spread, which shapes its face."""
        presets.show_menu(layout, "material")
        die = held.die
        layout.prop(die, "material")
        column = layout.column(align=True)
        for name in ("floor", "relief", "dressing"):
            column.prop(die, name)
        layout.prop(die, "shoulder")
        layout.prop(held.ink, "spread", text="Ink Spread (mm)")
        layout.prop(die, "compensate_spread")
        _show_filling(layout, die)


class STAMPWRIGHT_PT_backing(_StampPanel, bpy.types.Panel):
    """The stiff plate, and the cushion under the die."""

    bl_label = "Backing"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the chosen form."""
        backing = held.backing
        layout.prop(backing, "form")
        if backing.form != "none":
            layout.prop(backing, "thickness")
        if backing.form == "plate":
            layout.prop(backing, "material")
            column = layout.column(align=True)
            column.prop(backing, "seat_depth")
            if backing.seat_depth > 0:
                column.prop(backing, "clearance")
                column.prop(backing, "rim")
            layout.prop(backing, "grooves")
            if backing.grooves:
                column = layout.column(align=True)
                for name in ("groove_width", "groove_depth", "groove_spacing"):
                    column.prop(backing, name)
            _show_filling(layout, backing)
        layout.prop(held.cushion, "thickness", text="Cushion (mm)")
        if held.cushion.thickness > 0:
            layout.prop(held.cushion, "young", text="Cushion Stiffness (MPa)")


class STAMPWRIGHT_PT_handle(_StampPanel, bpy.types.Panel):
    """What the hand holds."""

    bl_label = "Handle"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the chosen form."""
        handle = held.handle
        presets.show_menu(layout, "handle")
        layout.prop(handle, "form")
        if handle.form == "none":
            return
        if handle.form == "lathe":
            layout.prop(held, "profile_curve")
        if handle.form == "prism":
            layout.prop(held, "outline_curve")
        layout.prop(handle, "material")
        column = layout.column(align=True)
        if handle.form != "lathe":
            column.prop(handle, "height")
        if handle.form in ("knob", "grip"):
            column.prop(handle, "grip_width")
            column.prop(handle, "neck_width")
        if handle.form != "lathe":
            column.prop(handle, "edge_radius")
        layout.prop(handle, "index")
        if handle.index != "none":
            layout.prop(handle, "index_depth")
        layout.prop(handle, "up_mark")
        layout.prop(handle, "hollow")
        if handle.hollow:
            layout.prop(handle, "wall")
        _show_filling(layout, handle)


class STAMPWRIGHT_PT_process(_StampPanel, bpy.types.Panel):
    """The printer, and what filament costs."""

    bl_label = "Printer and Price"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the process and the price."""
        presets.show_menu(layout, "process")
        _show_all(layout, held.process)
        _show_all(layout, held.price)


class STAMPWRIGHT_PT_press(_StampPanel, bpy.types.Panel):
    """Ink and push, for the ticket's advice."""

    bl_label = "Ink and Push"

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show the figures of the ink and the press."""
        _show_all(layout, held.ink, leave_out=("spread",))
        _show_all(layout, held.press)


class STAMPWRIGHT_PT_measures(_StampPanel, bpy.types.Panel):
    """What the stamp weighs, costs, and how long it prints."""

    bl_label = "Measures"
    bl_options: set[str] = set()

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Show a column for each part, and the whole."""
        stamp = stamp_made(root)
        if stamp is None:
            layout.label(text="Not built yet" if live.work_of(root) is None else "Being built")
            return
        rows = [(name.capitalize(), part) for name, part in stamp.measures.items()]
        caption = layout.row()
        caption.active = False
        caption.label(text="Volume, mass, filament, cost, time")
        table = layout.row(align=True)
        names = table.column(align=True)
        for name in ("", *(name for name, _ in rows), "Total"):
            names.label(text=name)
        for unit, value, told in _columns(stamp.job.price.currency):
            column = table.column(align=True)
            column.alignment = "RIGHT"
            values = [value(part) for _, part in rows]
            for text in (unit, *(told(each) for each in values), told(sum(values))):
                column.label(text=text)


class STAMPWRIGHT_PT_files(_StampPanel, bpy.types.Panel):
    """Files in and out."""

    bl_label = "Files"
    bl_options: set[str] = set()

    def show(self, layout: UILayout, root: Object, held: Any) -> None:
        """Offer to write the stamp, and to read and write its job."""
        column = layout.column()
        column.scale_y = 1.3
        column.operator("stampwright.export_files", icon="EXPORT")
        row = layout.row(align=True)
        row.operator("stampwright.read_job", text="Read Job...")
        row.operator("stampwright.write_job", text="Write Job...")


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


def _show_filling(layout: UILayout, part: Any) -> None:
    column = layout.column(align=True)
    column.prop(part, "walls")
    column.prop(part, "infill")


def _show_all(layout: UILayout, group: Any, *, heading: str = "", leave_out: tuple[str, ...] = ()) -> None:
    if heading:
        layout.label(text=heading)
    column = layout.column(align=True)
    for name in group.bl_rna.properties.keys():
        if name not in ("rna_type", "name", *leave_out):
            column.prop(group, name)


def _is_bitmap(held: Any) -> bool:
    shown = held.artwork_file.lower()
    drawn = any(source.object for source in held.sources)
    return not drawn and shown.endswith((".png", ".jpg", ".jpeg", ".tif", ".tiff", ".bmp", ".webp"))


def _wrapped(text: str, width: int = 38) -> list[str]:
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + len(word) >= width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines if lines[0] else []


_CLASSES = (
    STAMPWRIGHT_UL_sources,
    STAMPWRIGHT_PT_stamp,
    STAMPWRIGHT_PT_artwork,
    STAMPWRIGHT_PT_base,
    STAMPWRIGHT_PT_findings,
    STAMPWRIGHT_PT_repair,
    STAMPWRIGHT_PT_die,
    STAMPWRIGHT_PT_backing,
    STAMPWRIGHT_PT_handle,
    STAMPWRIGHT_PT_process,
    STAMPWRIGHT_PT_press,
    STAMPWRIGHT_PT_measures,
    STAMPWRIGHT_PT_files,
)


def register() -> None:
    """Enter the panels."""
    for each in _CLASSES:
        bpy.utils.register_class(each)


def unregister() -> None:
    """Take the panels back."""
    for each in reversed(_CLASSES):
        bpy.utils.unregister_class(each)
