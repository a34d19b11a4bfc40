"""A region filled with whatever paint its element asks for."""

from __future__ import annotations

import re

from shapely.geometry.base import BaseGeometry

from ..painting.sheet import Sheet, referred_id
from ..placing.place import Place
from ..seeing.marks import Item, Mark
from ..source.document import Element
from .colours import BLACK, plain_colour, share
from .gradients import gradient_marks
from .patterns import pattern_items

_FALLBACK = re.compile(r"url\([^)]*\)\s*(.*)")


def laid(sheet: Sheet, element: Element, place: Place, part: str, region: BaseGeometry) -> list[Item]:
    """Return ``region`` in the paint of ``part``, fill or stroke; nothing when that is not painted.

    ``region``: mm, paper frame. A reference that leads nowhere gives way to the colour behind it, or to none
    (SVG 2, section 13.2).
    """
    text = place.style[part]
    if text in {"context-fill", "context-stroke"}:
        text = place.context[text == "context-stroke"]
    opacity = share(place.style[f"{part}-opacity"])
    identity = referred_id(text)
    if identity is not None or text.startswith("url("):
        server = sheet.document.by_id.get(identity or "")
        if server is not None and server.name in {"linearGradient", "radialGradient"}:
            return gradient_marks(sheet, server, element, place, (region, opacity))
        if server is not None and server.name == "pattern":
            return pattern_items(sheet, server, element, place, (region, opacity))
        if server is not None:
            sheet.notes.add("paint left out", f"paint by <{server.name}> is not applied", element)
        fallback = _FALLBACK.match(text)
        text = (fallback[1].strip() if fallback else "") or "none"
    if text == "none":
        return []
    colour = plain_colour(text, place)
    if colour is None:
        sheet.notes.add("paint unreadable", f'{part} "{text[:40]}" could not be read; black was taken', element)
    red, green, blue, own = colour or BLACK
    return [Mark(region, (red, green, blue, own * opacity), place.clip)] if own * opacity > 0 else []
