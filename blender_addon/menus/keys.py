"""Keys, in the host's own keymap: none is taken by itself, each is there to be set in the preferences."""

from __future__ import annotations

from typing import Any

import bpy

OFFERED = (
    "stampwright.make_stamp",
    "stampwright.stamp_from_template",
    "stampwright.build",
    "stampwright.press",
    "stampwright.repair",
    "stampwright.export_files",
    "stampwright.select_stamp",
)
"""What people may want under a key, in object mode."""

_entered: list[tuple[Any, Any]] = []


def register() -> None:
    """Enter a line without a key for each; the host keeps what is set in its stead."""
    keys = bpy.context.window_manager.keyconfigs.addon
    if keys is None:
        return
    keymap = keys.keymaps.new(name="Object Mode")
    for name in OFFERED:
        _entered.append((keymap, keymap.keymap_items.new(name, "NONE", "PRESS")))


def unregister() -> None:
    """Take the lines back."""
    while _entered:
        keymap, item = _entered.pop()
        keymap.keymap_items.remove(item)
