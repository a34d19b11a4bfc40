"""What the panels have in common: where they stand, and how settings and messages are laid out."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import blf
import bpy

from ..job.settings import LENGTH, PERCENT
from ..scene import stamps
from ..translations import CONTEXT, translated
from .signs import sign_icon

if TYPE_CHECKING:
    from bpy.types import Context, Object, Panel, UILayout

    from ..press.verdict import Verdict
else:
    # The host takes panels only as they are registered, with this behind.
    Panel = object

CATEGORY = "Stampwright"

USUAL, NARROW = 284.0, 250.0
"""Widths of the sidebar, pixels at the host's usual size: as it comes, and where labels beside fields are cut."""

BESIDE = {"FLOAT", "INT"}
BESIDE_FIELD, MARGINS, GAP = 0.4, 42.0, 7.0
"""Numbers' labels stand beside their fields: the share of the sidebar less its margins that they have, and a gap."""

OVER = {"ENUM", "STRING", "POINTER"}
"""Sorts of properties whose field leaves no room for a label in it."""

ICON = 24.0
"""Pixels that an icon beside a line takes."""

EDGES = 57.0
"""Pixels of the sidebar that tabs, margins and boxes take beside a field, as seen in a window of 4.3."""

IN_NUMBER, IN_BUTTON = 40.0, 16.0
"""Pixels of a number's field that neither label nor value may have, and of a button beside its label."""

IN_HEADER, TITLE, TITLE_WITHIN, HEADER_ICON = 42.0, 31.0, 45.0, 28.0
"""Pixels of a panel's header: at its right end, before its name, before that of a panel within another, of an icon."""

ROUND_LINES = 66.0
"""The same for lines of text in a box, which has room of its own round them."""

STUCK = "\u00a0"
"""What stands for a blank at which no line ends: before a unit, and before signs that French sets apart."""

_STUCK = re.compile(r" (?=[%:;!?»×]|(?:mm²?|cm³?|MPa|N|g|m)\b)")

LEAST_LINE = 72.0
"""Pixels of a line in a sidebar however narrow."""


class StampPanel(Panel):
    """A panel on the stamp of the active object."""

    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = CATEGORY
    bl_options = {"DEFAULT_CLOSED"}
    bl_translation_context = CONTEXT
    # Opened from a menu, where the host would make it two thirds as wide as the sidebar comes.
    bl_ui_units_x = 15

    subject = ""
    """What the help button in the header leads to in the guide; none where there is nothing of its own to tell."""

    @classmethod
    def poll(cls, context: Context) -> bool:
        """Show only with a stamp."""
        return stamps.stamp_of(context) is not None

    def draw_header_preset(self, _context: Context) -> None:
        """Show the help button at the right of the panel's name, where that leaves room for it."""
        self.show_help_beside()

    def show_help_beside(self, others: int = 0) -> None:
        """Show the help button where the header has room for it beside so many other icons."""
        if has_room(self, others + 1):
            show_help(self.layout, self.subject)

    def draw(self, context: Context) -> None:
        """Lay out the panel for the stamp."""
        root = stamps.stamp_of(context)
        if root is None:
            return
        layout = self.layout
        layout.use_property_split = not is_narrow()
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
        show_lines(column, translated(title))
    for name in names:
        show_setting(column, group, name, drop)


def show_setting(layout: UILayout, group: Any, name: str, drop: str = "") -> None:
    """Show a setting, a share as percent, so that its label is read whole.

    Where the scene shows no units beside values, the label says that lengths are millimetres. In a narrow sidebar a
    label has the whole width: in the field of a number, over the field of anything else.
    """
    name = name + PERCENT if name + PERCENT in group.bl_rna.properties else name
    about = group.bl_rna.properties[name]
    label = translated(about.name.removeprefix(drop))
    if about.subtype == LENGTH and bpy.context.scene.unit_settings.system == "NONE":
        label += " mm"
    if is_narrow() and (about.type in OVER or _is_long(label, getattr(group, name), about)):
        column = layout.column(align=True)
        column.label(text=label, translate=False)
        column.prop(group, name, text="")
    elif not is_narrow() and about.type in BESIDE and width_of(label) > BESIDE_FIELD * (width_shown() - MARGINS) - GAP:
        # The whole width is the field's: its label stands in it.
        column = layout.column(align=True)
        column.use_property_split = False
        column.prop(group, name, text=label, translate=False)
    else:
        layout.prop(group, name, text=label, translate=False)


def show_switches(layout: UILayout, heading: str, *switches: tuple[Any, str]) -> None:
    """Show switches, each a group and a name in it, under one heading."""
    heading = translated(heading)
    if is_narrow():
        column = layout.column()
        column.label(text=heading, translate=False)
    else:
        column = layout.column(heading=heading, heading_ctxt=CONTEXT, translate=False)
    for group, name in switches:
        column.prop(group, name)


def show_operator(layout: UILayout, name: str, *, text: str = "", icon: Any = "NONE") -> Any:
    """Show the button of an operator of ours, without its icon where that takes the room of its label."""
    ours: Any = bpy.ops
    label = translated(text or getattr(ours.stampwright, name.partition(".")[2]).get_rna_type().name)
    if width_of(label) + ICON + IN_BUTTON > width_shown() - EDGES:
        icon = "NONE"
    return layout.operator(name, text=label, translate=False, icon=icon)


def show_beside(layout: UILayout) -> UILayout:
    """Return where buttons go that stand beside each other, or one under the other in a narrow sidebar."""
    return layout.column(align=True) if is_narrow() else layout.row(align=True)


def show_lines(layout: UILayout, text: str, *, icon: Any = "NONE", number: int = 0) -> None:
    """Show a text in as many lines as the sidebar takes, with an icon, of the host's or by number, before the first."""
    has_icon = icon != "NONE" or number != 0
    column = layout.column(align=True)
    for place, line in enumerate(wrapped(text, ICON if has_icon else 0.0)):
        if place:
            column.label(text=line, icon="BLANK1" if has_icon else "NONE", translate=False)
        elif number:
            column.label(text=line, icon_value=number, translate=False)
        else:
            column.label(text=line, icon=icon, translate=False)


def is_narrow() -> bool:
    """Whether the sidebar is too narrow for labels beside their fields."""
    return width_shown() < NARROW


def width_shown() -> float:
    """Return how wide the sidebar is, pixels at the host's usual size; as it comes, where there is none."""
    region, system = bpy.context.region, bpy.context.preferences.system
    return region.width / system.ui_scale if region is not None and region.type == "UI" else USUAL


def width_of(text: str) -> float:
    """Return how wide a text is, pixels at the host's usual size."""
    blf.size(0, bpy.context.preferences.ui_styles[0].widget.points)
    wide: float = blf.dimensions(0, text)[0]
    return wide


def has_room(panel: Any, icons: int = 1) -> bool:
    """Whether the header of a panel holds its name and so many icons."""
    before = TITLE_WITHIN if getattr(panel, "bl_parent_id", "") else TITLE
    return width_of(translated(panel.bl_label)) <= width_shown() - IN_HEADER - before - icons * HEADER_ICON


def _is_long(label: str, value: Any, about: Any) -> bool:
    """Whether a field does not hold label and value of a number beside each other."""
    if about.type not in BESIDE or isinstance(value, bool):
        return False
    told = f"{value:.5g} mm" if about.subtype == LENGTH else f"{value:.2f}" if about.type == "FLOAT" else f"{value}%"
    return width_of(label) + width_of(told) + IN_NUMBER > width_shown() - EDGES


def show_verdict(layout: UILayout, verdict: Verdict) -> None:
    """Show in a line whether a stamp prints, grey where that is about what is no more."""
    column = layout.column(align=True)
    column.active = verdict.is_current
    column.alert = verdict.severity == "blocks"
    if verdict.severity is None:
        show_lines(column, verdict.text, icon="CHECKMARK" if verdict.is_current else "TIME")
    else:
        show_lines(column, verdict.text, number=sign_icon(verdict.severity))


def show_picker(layout: UILayout, held: Any, name: str) -> None:
    """Show the field that a curve is picked in, in red as long as none is."""
    row = layout.row()
    row.alert = getattr(held, name) is None
    show_setting(row, held, name)


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


def wrapped(text: str, taken: float = 0.0) -> list[str]:
    """Return a text in lines that the sidebar holds beside ``taken`` pixels; the host cuts lines, and breaks none."""
    room = max(width_shown() - ROUND_LINES - taken, LEAST_LINE)
    lines = [""]
    for word in _STUCK.sub(STUCK, " ".join(text.split())).split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and width_of(longer) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return [line.replace(STUCK, " ") for line in lines] if lines[0] else []
