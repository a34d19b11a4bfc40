"""A region filled with whatever paint its element asks for."""

from __future__ import annotations

import re
from dataclasses import replace

from shapely.geometry.base import BaseGeometry

from ..painting.sheet import Sheet, referred_id
from ..placing.place import Place
from ..seeing.marks import Item, Painted
from ..source.document import Element
from .colours import BLACK, plain_colour, share
from .gradients import gradient_marks
from .patterns import pattern_items

_SERVERS = {"linearGradient": gradient_marks, "radialGradient": gradient_marks, "pattern": pattern_items}

_OF_CONTEXT = {"context-fill": "fill", "context-stroke": "stroke"}

_FALLBACK = re.compile(r"url\([^)]*\)\s*(.*)")


def laid(sheet: Sheet, element: Element, place: Place, part: str, region: BaseGeometry) -> list[Item]:
    """Return ``region`` in the paint of ``part``, fill or stroke; nothing when that is not painted.

    ``region``: mm, paper frame. A reference that leads nowhere, or to what cannot be laid on this element, gives way to
    the colour behind it, or to none (SVG 2, section 13.2).
    """
    text = place.style[part]
    opacity = share(place.style[f"{part}-opacity"])
    # A paint taken over is laid as on the element that it comes from: in its units, its box and its colour.
    while text in _OF_CONTEXT:
        if place.context is None:
            return []
        element, around = place.context.element, place.context.place
        text = around.style[_OF_CONTEXT[text]]
        place = replace(around, clip=place.clip, solid=place.solid)
    identity = referred_id(text)
    if identity is not None or text.startswith("url("):
        server = sheet.document.by_id.get(identity or "")
        if server is not None and server.name in _SERVERS:
            items = _SERVERS[server.name](sheet, server, element, place, (region, opacity))
            if items is not None:
                return items
        elif server is not None:
            sheet.notes.add("paint left out", f"paint by <{server.name}> is not applied", element)
        fallback = _FALLBACK.match(text)
        text = (fallback[1].strip() if fallback else "") or "none"
    if text == "none":
        return []
    colour = plain_colour(text, place)
    if colour is None:
        sheet.notes.add("paint unreadable", f'{part} "{text[:40]}" could not be read; black was taken', element)
    red, green, blue, own = colour or BLACK
    return [Painted(region, (red, green, blue, own * opacity), place.clip)] if own * opacity > 0 else []
