"""Stamps in files of an older Stampwright: what it called its properties is read over once, when a file is opened."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy

from ..stampwright.job.written.old_names import SECTIONS, VALUES, current_path

if TYPE_CHECKING:
    from bpy.types import ID

LAID = "stampwright_laid"
"""Property beside those of a stamp in which a sheet kept where it was laid last."""


def read_over(held_by: ID) -> bool:
    """Move what an object keeps of a stamp under old names to the names of today; say whether there was any.

    Choices are kept by number, in an order that has not changed. What stands under today's name already stays.
    """
    kept = _kept(held_by)
    if kept is None:
        return False
    found = LAID in held_by
    if found:
        kept["laid"] = list(held_by[LAID])
        del held_by[LAID]
    for section in list(kept.keys()):
        group = kept[section]
        if not hasattr(group, "keys"):
            continue
        for name in list(group.keys()):
            old = f"{section}.{name}"
            new_section, _, new_name = current_path(old).partition(".")
            if (new_section, new_name) == (section, name):
                continue
            found = True
            value = group[name]
            del group[name]
            if new_section not in kept:
                kept[new_section] = {}
            if new_name not in kept[new_section]:
                kept[new_section][new_name] = VALUES[old](value) if old in VALUES else value
        if section in SECTIONS:
            del kept[section]
    return found


def _kept(held_by: ID) -> Any:
    """Return the custom properties behind a stamp's, or None where there are none yet."""
    # From 5.0 on the host keeps the properties of extensions apart from those that users make.
    system = getattr(held_by, "bl_system_properties_get", None)
    properties = system() if system is not None else held_by
    return properties.get("stampwright") if properties is not None else None


def read_all_over() -> None:
    """Read over every stamp of the file that is open, also linked ones, which keep it until the file is closed."""
    for each in bpy.data.objects:
        read_over(each)
