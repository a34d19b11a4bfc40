"""Preferences: what a new stamp starts from."""

from __future__ import annotations

from typing import TYPE_CHECKING

import bpy

from ..loading import EXTENSION
from ..stampwright.job import Job, job_settings
from ..stampwright.job.labels import label_of, panel_of
from ..stampwright.job.settings import checked
from ..stampwright.job.written.texts import as_line
from .settings import property_of

if TYPE_CHECKING:
    from bpy.types import Context

SHOWN = {
    "Printer": ("printer.nozzle", "printer.layer", "printer.bed_width", "printer.bed_depth", "printer.bed_height"),
    "Filament": ("die.material", "backing.material", "handle.material"),
    "Price of Filament, per kg": (
        "price.currency",
        "price.die_per_kg",
        "price.backing_per_kg",
        "price.handle_per_kg",
    ),
}
"""Settings of the job that depend on the workshop more than on the stamp, with a title."""

_PATHS = [path for paths in SHOWN.values() for path in paths]
_SETTINGS = {path: (value, about) for path, value, about in job_settings(Job()) if path in _PATHS}


def _unchanged(_held: object, _context: Context) -> None:
    """Do nothing: stamps that are there keep their settings."""


class STAMPWRIGHT_preferences(bpy.types.AddonPreferences):
    """What a new stamp starts from."""

    bl_idname = EXTENSION
    __annotations__ = {
        path.replace(".", "_"): property_of(path, value, _unchanged) for path, (value, _) in _SETTINGS.items()
    }

    def draw(self, _context: Context) -> None:
        """Show the settings by what they are of."""
        layout = self.layout
        layout.use_property_split = True
        layout.label(text="Defaults for new stamps; existing stamps do not change")
        for title, paths in SHOWN.items():
            column = layout.column(align=True)
            column.label(text=title)
            for path in paths:
                # Three of a kind are told apart by their parts.
                label = panel_of(path) if path.endswith(".material") else label_of(path)
                column.prop(self, path.replace(".", "_"), text=label)


def start_job(context: Context, name: str) -> Job:
    """Return the job that a new stamp starts from: the core's defaults with the user's own workshop."""
    addon = context.preferences.addons.get(EXTENSION)
    values = {"name": as_line(name)[:100] or Job().name}
    if addon is not None and addon.preferences is not None:
        for path, (_, about) in _SETTINGS.items():
            value = getattr(addon.preferences, path.replace(".", "_"))
            if about.kind == "number":
                value = float(f"{value:.7g}")
            values[path] = checked(path, value, about)
    return Job().with_values(values)


def register() -> None:
    """Enter the preferences."""
    bpy.utils.register_class(STAMPWRIGHT_preferences)


def unregister() -> None:
    """Take the preferences back."""
    bpy.utils.unregister_class(STAMPWRIGHT_preferences)
