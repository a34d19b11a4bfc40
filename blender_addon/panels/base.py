"""What the panels have in common: where they stand, and how figures and messages are laid out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from .. import stamps

if TYPE_CHECKING:
    from bpy.types import Context, Object, UILayout

CATEGORY = "Stampwright"


class StampPanel:
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


def show_filling(layout: UILayout, part: Any) -> None:
    """Show how a part is filled when it is printed."""
    column = layout.column(align=True)
    column.prop(part, "walls")
    column.prop(part, "infill")


def show_all(layout: UILayout, group: Any, *, heading: str = "", leave_out: tuple[str, ...] = ()) -> None:
    """Show every figure of a section of the job."""
    if heading:
        layout.label(text=heading)
    column = layout.column(align=True)
    for name in group.bl_rna.properties.keys():
        if name not in ("rna_type", "name", *leave_out):
            column.prop(group, name)


def wrapped(text: str, width: int = 38) -> list[str]:
    """Return a text in lines of at most so many letters; the host does not break lines by itself."""
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + len(word) >= width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines if lines[0] else []
