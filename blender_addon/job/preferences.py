"""Preferences: what a new stamp starts from."""

from __future__ import annotations

from typing import TYPE_CHECKING

import bpy

from ..loading import EXTENSION
from ..stampwright.job import Job, job_settings
from ..stampwright.job.settings import checked
from .figures import property_of

if TYPE_CHECKING:
    from bpy.types import Context

SHOWN = {
    "Printer": {
        "printer.nozzle": "Nozzle",
        "printer.layer": "Layer",
        "printer.bed_width": "Bed Width",
        "printer.bed_depth": "Depth",
        "printer.bed_height": "Height",
    },
    "Filament": {"die.material": "Die", "backing.material": "Backing", "handle.material": "Handle"},
    "Price of Filament, per kg": {
        "price.currency": "Currency",
        "price.die_per_kg": "Die",
        "price.backing_per_kg": "Backing",
        "price.handle_per_kg": "Handle",
    },
}
"""Figures of the job that depend on the workshop more than on the stamp, with a title and labels."""

_PATHS = [path for figures in SHOWN.values() for path in figures]
_FIGURES = {path: (value, about) for path, value, about in job_settings(Job()) if path in _PATHS}


def _unchanged(_held: object, _context: Context) -> None:
    """Do nothing: stamps that are there keep their figures."""


class STAMPWRIGHT_preferences(bpy.types.AddonPreferences):
    """What a new stamp starts from."""

    bl_idname = EXTENSION
    __annotations__ = {
        path.replace(".", "_"): property_of(path.partition(".")[2], value, about, _unchanged)
        for path, (value, about) in _FIGURES.items()
    }

    def draw(self, _context: Context) -> None:
        """Show the figures by what they are of."""
        layout = self.layout
        layout.use_property_split = True
        layout.label(text="New stamps start with this; stamps that are there keep their figures.")
        for title, figures in SHOWN.items():
            column = layout.column(align=True)
            column.label(text=title)
            for path, label in figures.items():
                column.prop(self, path.replace(".", "_"), text=label)


def start_job(context: Context, name: str) -> Job:
    """Return the job that a new stamp starts from: the core's defaults with the user's own workshop."""
    addon = context.preferences.addons.get(EXTENSION)
    values = {"name": "".join(letter for letter in name if letter.isprintable())[:100] or Job().name}
    if addon is not None and addon.preferences is not None:
        for path, (_, about) in _FIGURES.items():
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
