"""Plain colours."""

from __future__ import annotations

from ..placing.place import Place
from ..seeing.marks import Colour
from ..styling.tints import colour
from ..styling.values import number

BLACK = (0.0, 0.0, 0.0, 1.0)
WHITE = (1.0, 1.0, 1.0, 1.0)


def plain_colour(text: str, place: Place) -> Colour | None:
    """Return a colour value, ``currentColor`` taken from ``color``; None when it is no colour."""
    found = colour(text)
    if found == "currentcolor":
        found = colour(place.style["color"])
    if isinstance(found, str):
        return BLACK
    return found


def share(text: str | None, default: float = 1.0) -> float:
    """Return an opacity or an offset, from 0 to 1."""
    return min(1.0, max(0.0, number(text, default)))
