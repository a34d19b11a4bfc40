"""Paint: what colour a fill or a stroke has."""

from __future__ import annotations

from ..seeing.marks import Colour
from ..source.document import Element
from ..styling.values import colour, number
from .place import Place
from .sheet import Sheet

BLACK = (0.0, 0.0, 0.0, 1.0)


def paint_of(sheet: Sheet, element: Element, place: Place, part: str) -> Colour | None:
    """Return the colour of the element's ``part``, fill or stroke; None when it is not painted."""
    text = place.style[part]
    if text == "none":
        return None
    if text.startswith("url("):
        sheet.notes.add("paint left out", f"{part} by a gradient or pattern is not applied", element)
    red, green, blue, opacity = plain_colour(text, place) or BLACK
    opacity *= min(1.0, max(0.0, number(place.style[f"{part}-opacity"], 1.0)))
    return (red, green, blue, opacity) if opacity > 0 else None


def plain_colour(text: str, place: Place) -> Colour | None:
    """Return a colour value, ``currentColor`` taken from ``color``; None when it is no colour."""
    found = colour(text)
    if found == "currentcolor":
        found = colour(place.style["color"])
    if isinstance(found, str):
        return BLACK
    return found
