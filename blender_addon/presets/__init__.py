"""Presets: figures that go together, as data, for material, printer and handle; Stampwright's and the user's own."""

from __future__ import annotations

import bpy

from .choosing import CLASSES, show_button
from .shelf import SORTS, presets_of

__all__ = ["SORTS", "presets_of", "register", "show_button", "unregister"]

# The user's own presets stay in their files.
register, unregister = bpy.utils.register_classes_factory(CLASSES)
