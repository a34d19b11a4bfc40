"""What the panels have in common: where they stand, and how settings and messages are laid out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ..job.settings import LENGTH, PERCENT
from ..scene import stamps
from .signs import sign_icon

if TYPE_CHECKING:
    from bpy.types import Context, Object, Panel, UILayout

    from ..press.verdict import Verdict
else:
    # The host takes panels only as they are registered, with this behind.
    Panel = object

CATEGORY = "Stampwright"


class StampPanel(Panel):
    """A panel on the stamp of the active object."""

    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = CATEGORY
    bl_options = {"DEFAULT_CLOSED"}

    subject = ""
    """What the help button in the header leads to in the guide; none where there is nothing of its own to tell."""

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show only with a stamp."""
        return stamps.stamp_of(context) is not None

    def draw_header_preset(self, _context: Context) -> None:
        """Show the help button at the right of the panel's name."""
        show_help(self.layout, self.subject)

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


def show_help(layout: UILayout, subject: str) -> None:
    """Show, in a panel's header, the button that opens the guide at a subject."""
    if subject:
        row = layout.row()
        row.emboss = "NONE"
        row.operator("stampwright.open_guide", text="", icon="HELP").subject = subject


def show_settings(layout: UILayout, group: Any, *names: str, title: str = "", drop: str = "") -> None:
    """Show settings of a section of the job one under the other; ``drop`` is what the title says of each already."""
    column = layout.column(align=True)
    if title:
        column.label(text=title)
    for name in names:
        show_setting(column, group, name, drop)


def show_setting(layout: UILayout, group: Any, name: str, drop: str = "") -> None:
    """Show a figure, a share as percent.

    Where the scene shows no units beside values, the label says that lengths are millimetres.
    """
    name = name + PERCENT if name + PERCENT in group.bl_rna.properties else name
    about = group.bl_rna.properties[name]
    label = about.name.removeprefix(drop)
    if about.subtype == LENGTH and bpy.context.scene.unit_settings.system == "NONE":
        label += " mm"
    layout.prop(group, name, text=label)


def show_verdict(layout: UILayout, verdict: Verdict) -> None:
    """Show in a line whether a stamp prints, grey where that is about what is no more."""
    row = layout.row()
    row.active = verdict.is_current
    row.alert = verdict.severity == "blocks"
    if verdict.severity is None:
        row.label(text=verdict.text, icon="CHECKMARK" if verdict.is_current else "TIME")
    else:
        row.label(text=verdict.text, icon_value=sign_icon(verdict.severity))


def show_picker(layout: UILayout, held: Any, name: str) -> None:
    """Show the field that a curve is picked in, in red as long as none is."""
    row = layout.row()
    row.alert = getattr(held, name) is None
    row.prop(held, name)


def settings_in(group: Any) -> list[str]:
    """Return the names of all settings of a section of the job."""
    return [
        name
        for name in group.bl_rna.properties.keys()
        if name not in ("rna_type", "name") and not name.endswith(PERCENT)
    ]


def sentence(text: str) -> str:
    """Return a text that begins with a capital."""
    return text[:1].upper() + text[1:]


def wrapped(text: str, width: int = 38) -> list[str]:
    """Return a text in lines of at most so many letters; the host does not break lines by itself."""
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + len(word) >= width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines if lines[0] else []
