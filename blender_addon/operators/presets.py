"""Setting the settings of a preset, and keeping presets of the user's own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
from bpy.props import EnumProperty, StringProperty

from ..job.presets import SORTS, drop, keep, presets_of
from ..job.settings import read_settings
from ..stampwright.job.labels import choice_label, full_label, label_of, unit_of
from .base import StampOperator
from .stamps.settings import change_settings

if TYPE_CHECKING:
    from bpy.types import Context

_shown: dict[str, list[tuple[str, str, str]]] = {}
"""What the choices of each sort are; the host keeps no hold of the letters itself."""


class _UsePreset(StampOperator):
    """Set the settings of a preset."""

    bl_label = "Use Preset"
    bl_options = {"REGISTER", "UNDO"}
    sort = ""
    if TYPE_CHECKING:
        preset: str

    def run(self, context: Context) -> Any:
        """Set the settings, and check them together first."""
        change_settings(self.stamp(context), presets_of(self.sort)[self.preset])

    @classmethod
    def description(cls, _context: Context, properties: Any) -> str:
        """Say what the preset sets."""
        return _told(presets_of(cls.sort).get(properties.preset, {}))


class _OwnPreset(StampOperator):
    """Work on a preset of the user's own."""

    sort: EnumProperty(
        name="Sort",
        description="What the preset is for",
        items=[(each, each.title(), f"For the {each}") for each in SORTS],
    )
    label: StringProperty(name="Name", description="Name of the preset")


class STAMPWRIGHT_OT_add_preset(_OwnPreset, bpy.types.Operator):
    """Keep these settings as a preset of this name"""

    bl_idname = "stampwright.add_preset"
    bl_label = "Add Preset"

    def run(self, context: Context) -> Any:
        """Keep the stamp's settings of this sort."""
        settings = read_settings(self.stamp(context).stampwright)
        keep(self.sort, self.label, {path: settings[path] for path in SORTS[self.sort]})


class STAMPWRIGHT_OT_remove_preset(_OwnPreset, bpy.types.Operator):
    """Remove this preset; stamps keep their settings"""

    bl_idname = "stampwright.remove_preset"
    bl_label = "Remove Preset"

    def run(self, _context: Context) -> Any:
        """Take it off the user's own."""
        drop(self.sort, self.label)


def _use_operator(sort: str) -> type:
    def items(_held: Any, _context: Context | None) -> list[tuple[str, str, str]]:
        _shown[sort] = [(label, label, _told(settings)) for label, settings in presets_of(sort).items()]
        return _shown[sort]

    return type(
        f"STAMPWRIGHT_OT_use_{sort}_preset",
        (_UsePreset, bpy.types.Operator),
        {
            "__doc__": f"Set the settings of a {sort} preset",
            "__annotations__": {"preset": EnumProperty(name="Preset", description="Which one", items=items)},
            "bl_idname": f"stampwright.use_{sort}_preset",
            "sort": sort,
            "__module__": __name__,
        },
    )


def _told(settings: dict[str, Any]) -> str:
    """Return settings in a line, as the panels label them."""
    lines = []
    for path, value in settings.items():
        match value:
            case bool():
                shown = "on" if value else "off"
            case str():
                shown = choice_label(value)
            case _:
                shown = f"{value:g}"
        label = full_label(path) if path.endswith(".material") else label_of(path)
        lines.append(f"{label} {shown} {unit_of(path)}".rstrip())
    return ", ".join(lines)


CLASSES: tuple[type, ...] = (
    *(_use_operator(sort) for sort in SORTS),
    STAMPWRIGHT_OT_add_preset,
    STAMPWRIGHT_OT_remove_preset,
)
