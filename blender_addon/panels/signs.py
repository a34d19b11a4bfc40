"""The signs of findings as icons of the panels: the shapes that the overlay and the proof show."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy.utils.previews

from ..stampwright.looks.colours import SEVERITY_IN_VIEW, rgb
from ..stampwright.looks.signs import sign_corners

if TYPE_CHECKING:
    from ..stampwright.findings import Severity

SIDE = 32
"""Pixels of an icon each way."""

_FINER = 3  # samples to a pixel each way, for smooth edges
_REACH = 1.3  # from the middle of a sign to the icon's edge; a sign reaches 1.2 at most
_BAR, _DOT, _STEM = 0.13, (-0.42, -0.16), (-0.02, 0.42)  # the stroke and dot of the mark in it, half width and heights

_kept: dict[str, Any] = {}


def sign_icon(severity: Severity) -> int:
    """Return the number of a severity's icon, drawn when it is first shown."""
    if "icons" not in _kept:
        _kept["icons"] = bpy.utils.previews.new()
    icons = _kept["icons"]
    if severity not in icons:
        icon = icons.new(severity)
        icon.icon_size = icon.image_size = (SIDE, SIDE)
        icon.icon_pixels_float = icon.image_pixels_float = sign_pixels(severity)
    number: int = icons[severity].icon_id
    return number


def sign_pixels(severity: Severity) -> list[float]:
    """Return the pixels of a severity's sign: red, green, blue and cover in turn, from the lower left corner."""
    corners, colour = sign_corners(severity), rgb(SEVERITY_IN_VIEW[severity])
    pixels: list[float] = []
    for row in range(SIDE):
        for column in range(SIDE):
            within = marked = 0
            for step in range(_FINER**2):
                x = _place(column, step % _FINER)
                y = _place(row, step // _FINER)
                if _holds(corners, x, y):
                    within += 1
                    marked += _is_mark(x, y)
            share = marked / within if within else 0.0
            pixels += [part + share * (1.0 - part) for part in colour]
            pixels.append(within / _FINER**2)
    return pixels


def unregister() -> None:
    """Give the icons back."""
    icons = _kept.pop("icons", None)
    if icons is not None:
        bpy.utils.previews.remove(icons)


def _place(pixel: int, step: int) -> float:
    return _REACH * (2.0 * (pixel + (step + 0.5) / _FINER) / SIDE - 1.0)


def _holds(corners: list[tuple[float, float]], x: float, y: float) -> bool:
    """Whether a convex outline, counter-clockwise, holds a point."""
    ends = [*corners[1:], corners[0]]
    return all((bx - ax) * (y - ay) >= (by - ay) * (x - ax) for (ax, ay), (bx, by) in zip(corners, ends, strict=True))


def _is_mark(x: float, y: float) -> bool:
    return abs(x) <= _BAR and (_DOT[0] <= y <= _DOT[1] or _STEM[0] <= y <= _STEM[1])
