"""Where people look in Blender: the host's own menus, its keymap, its tools, its online manual."""

from __future__ import annotations

import bpy

from ..guide import manual_map
from . import entries, keys, tool


def register() -> None:
    """Enter all of it."""
    entries.register()
    keys.register()
    tool.register()
    bpy.utils.register_manual_map(manual_map)


def unregister() -> None:
    """Take it back."""
    bpy.utils.unregister_manual_map(manual_map)
    tool.unregister()
    keys.unregister()
    entries.unregister()
