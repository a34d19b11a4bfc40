"""Which values a property can have: one that it cannot is as if it were not there (CSS Cascade 4, section 4.2)."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from .properties import ANYWHERE, COLOUR_PROPERTIES, KEYWORDS, LENGTHS, NUMBERS, PAINTS
from .tints import colour
from .values import is_length, number

_PAINT_WORDS = frozenset(("none", "context-fill", "context-stroke", "currentcolor"))
_REFERENCE = re.compile(r"url\(\s*(?:\"[^\"]*\"|'[^']*'|[^'\"()]*)\s*\)", re.IGNORECASE)


def read_value(name: str, text: str) -> str | None:
    """Return a property's value without spaces round it, words in lower case; None when the property has no such.

    A value that gives way to what lies below it is none either.

    >>> read_value("fill", " NONE "), read_value("fill", "url(#a) #000"), read_value("fill", "#12345")
    ('none', 'url(#a) #000', None)
    """
    value = text.strip()
    word = value.lower()
    if word == "revert-layer":
        return None
    if word in ANYWHERE or "var(" in word or name not in _WORDS:
        return value
    if word in _WORDS[name]:
        return word
    return value if name in _SHAPED and _SHAPED[name](value) else None


def _is_paint(value: str) -> bool:
    reference = _REFERENCE.match(value)
    if reference is None:
        return colour(value) is not None
    fallback = value[reference.end() :].strip()
    return not fallback or fallback.lower() in {"none", "currentcolor"} or colour(fallback) is not None


def _is_number(value: str) -> bool:
    return not math.isnan(number(value, math.nan))


def _is_colour(value: str) -> bool:
    return colour(value) is not None


_SHAPED: dict[str, Callable[[str], bool]] = {
    **dict.fromkeys(PAINTS, _is_paint),
    **dict.fromkeys(COLOUR_PROPERTIES, _is_colour),
    **dict.fromkeys(LENGTHS, is_length),
    **dict.fromkeys(NUMBERS, _is_number),
}
"""What a value has to be that is no word of its property's."""

_WORDS: dict[str, frozenset[str]] = {
    **dict.fromkeys(_SHAPED, frozenset()),
    **dict.fromkeys(PAINTS, _PAINT_WORDS),
    **LENGTHS,
    **KEYWORDS,
}
"""The words of each property that is checked."""
