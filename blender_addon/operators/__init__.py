"""Everything that can be done to stamps, from the panels and by script as ``bpy.ops.stampwright``."""

from __future__ import annotations

import bpy

from . import presets, pressing, printing, showing
from .out import assets, files, ordering, picturing
from .shaping import finishing, handling, sculpting
from .stamps import inks, making, repairing, settings, templates

CLASSES = (
    *making.CLASSES,
    *inks.CLASSES,
    *handling.CLASSES,
    *settings.CLASSES,
    *repairing.CLASSES,
    *sculpting.CLASSES,
    *showing.CLASSES,
    *files.CLASSES,
    *ordering.CLASSES,
    *finishing.CLASSES,
    *templates.CLASSES,
    *picturing.CLASSES,
    *pressing.CLASSES,
    *printing.CLASSES,
    *presets.CLASSES,
    *assets.CLASSES,
)


def register() -> None:
    """Enter the operators."""
    for each in CLASSES:
        bpy.utils.register_class(each)


def unregister() -> None:
    """Take the operators back."""
    files.unregister()
    for each in reversed(CLASSES):
        bpy.utils.unregister_class(each)
