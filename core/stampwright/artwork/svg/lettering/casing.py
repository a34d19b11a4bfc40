"""Letters in another case than written: text-transform and small capitals (CSS Text 3, 2.1; CSS Fonts 4, 6.6)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ...fonts import has_feature
from ..painting.sheet import Sheet
from ..source.document import Element
from .characters import Character
from .choosing import font_of

SMALL_CAPITALS = 0.7
"""Size of a small capital that a font has not, as a share of the type size: as one browser has it, others have 0.8."""

_OWN_GLYPHS = {
    "small-caps": ("smcp",),
    "all-small-caps": ("smcp", "c2sc"),
    "petite-caps": ("pcap",),
    "all-petite-caps": ("pcap", "c2pc"),
    "unicase": ("unic",),
}
"""Features of the fonts that have such capitals of their own."""


def recased(sheet: Sheet, text: Element, characters: Sequence[Character]) -> list[Character]:
    """Return the characters in the case that their style asks for; one may become two, as ß does."""
    found: list[Character] = []
    before = " "
    for character in characters:
        letters, shrunk = _cased(sheet, text, character, begins_word=not before.isalnum())
        before = character.text
        follows = replace(character, x=None, y=None, dx=None, dy=None)
        for number, letter in enumerate(letters):
            found.append(replace(follows if number else character, text=letter, shrunk=shrunk))
    return found


def capitals_features(sheet: Sheet, text: Element, character: Character) -> tuple[str, ...]:
    """Return the font's own features for the capitals that a character asks for; none where they are made of others."""
    word = character.place.style["font-variant-caps"]
    if word == "titling-caps":
        return ("titl",)
    features = _OWN_GLYPHS.get(word, ())
    if not features:
        return ()
    font = font_of(sheet, text, character.place)
    # Small capitals stand in for petite ones (CSS Fonts 4, section 6.6).
    ways = (features, tuple(tag.replace("pcap", "smcp").replace("c2pc", "c2sc") for tag in features))
    return next((way for way in ways if all(has_feature(font, tag) for tag in way)), ())


def _cased(sheet: Sheet, text: Element, character: Character, *, begins_word: bool) -> tuple[str, float]:
    """Return the letters that stand for a character, and their size as a share of its type's."""
    style = character.place.style
    letter = character.text
    match style["text-transform"].lower():
        case "uppercase":
            letter = letter.upper()
        case "lowercase":
            letter = letter.lower()
        case "capitalize" if begins_word:
            letter = letter.title() if len(letter.title()) == 1 else letter
    word = style["font-variant-caps"]
    if word not in _OWN_GLYPHS or capitals_features(sheet, text, character):
        return letter, 1.0
    if not {"small-caps", "auto"} & set(style["font-synthesis"].split()):
        return letter, 1.0
    if word == "unicase":
        return letter, 1.0 if letter != letter.upper() else SMALL_CAPITALS
    small = word.startswith("all") or letter != letter.upper()
    return (letter.upper(), SMALL_CAPITALS) if small else (letter, 1.0)
