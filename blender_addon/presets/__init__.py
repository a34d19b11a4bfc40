"""Presets: figures that go together, as data, for material, process and handle; Stampwright's and the user's own."""

from __future__ import annotations

import bpy

from .choosing import CLASSES, show_button
from .shelf import SORTS, presets_of

__all__ = ["SORTS", "presets_of", "register", "show_button", "unregister"]


def register() -> None:
    """Enter the operators and the menus of presets."""
    for each in CLASSES:
        bpy.utils.register_class(each)


def unregister() -> None:
    """Take them back; the user's presets stay in their files."""
    for each in reversed(CLASSES):
        bpy.utils.unregister_class(each)
