"""The pictures of looks as icons, read when they are first shown."""

from __future__ import annotations

from typing import Any

import bpy
import bpy.utils.previews

from ...translations import translated
from .choosing import looks, picture_of

_kept: dict[str, Any] = {}


def look_items(_held: object, _context: object) -> list[tuple[str, str, str, int, int]]:
    """Return the looks as the host's choices, each with its picture; without a window there are none to show."""
    if "items" not in _kept:
        # Kept: the host takes the letters from where they lie, and does not keep them itself.
        _kept["items"] = [
            (key, translated(look.label), "", _icon_of(key), number)
            for number, (key, look) in enumerate(looks().items())
        ]
    items: list[tuple[str, str, str, int, int]] = _kept["items"]
    return items


def unregister() -> None:
    """Give the icons back."""
    icons = _kept.pop("icons", None)
    _kept.clear()
    if icons is not None:
        bpy.utils.previews.remove(icons)


def _icon_of(look: str) -> int:
    path = picture_of(look)
    if bpy.app.background or not path.exists():
        return 0
    if "icons" not in _kept:
        _kept["icons"] = bpy.utils.previews.new()
    number: int = _kept["icons"].load(look, str(path), "IMAGE").icon_id
    return number
