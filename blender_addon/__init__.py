"""Stampwright in Blender: draw curves, get a stamp, live."""

from __future__ import annotations

from . import gizmos, menus, operators, overlay, panels, translations
from .job import preferences, properties
from .live import following, noticing
from .mockup import dropping
from .press import ink_proofs, pressing
from .remedy import looking

_ROOMS = (
    translations,
    properties,
    preferences,
    operators,
    panels,
    overlay,
    gizmos,
    menus,
    following,
    noticing,
    pressing,
    looking,
    ink_proofs,
    dropping,
)
"""In the order in which they register; what comes later may use what came before."""


def register() -> None:
    """Enter every class, property and handler; nothing of the core is loaded yet but the settings of a job."""
    for room in _ROOMS:
        room.register()


def unregister() -> None:
    """Take back all that :func:`register` entered, last first."""
    for room in reversed(_ROOMS):
        room.unregister()
