"""Letters that a font lacks, taken from another that has them (CSS Fonts 4, section 5.3)."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import replace

from ...fonts import holds, standing_in
from ..painting.sheet import Sheet
from ..source.document import Element
from .characters import Character
from .choosing import font_of

_JOINERS = "\u200c\u200d"

MOST_NAMED = 10
"""Characters that one finding names."""


def with_stand_ins(sheet: Sheet, text: Element, characters: Sequence[Character]) -> list[Character]:
    """Return the characters, those that their font lacks with a font that has them, marks with their letters.

    Which fonts stand in for which letters is noted. Letters that no font has stay as they are.
    """
    found: list[Character] = []
    lacking: dict[tuple[str, str], list[str]] = {}
    for cluster in _clusters(characters):
        place = cluster[0].place
        font = font_of(sheet, text, place)
        letters = "".join(character.text for character in cluster)
        other = None
        if not holds(font, letters):
            # Its own weight may be the nearest at hand only.
            asked = replace(font, weight=place.weight(sheet.text_weight))
            other = standing_in(letters, asked, place.style["font-family"])
        if other is not None:
            missing = [letter for letter in letters if not holds(font, letter)] or [letters]
            lacking.setdefault((font.family, other.family), []).extend(missing)
        found += [replace(character, stand_in=other) for character in cluster]
    for (family, other_family), letters_of in lacking.items():
        named = ", ".join(f"{one!r} (U+{ord(one[0]):04X})" for one in sorted(set(letters_of))[:MOST_NAMED])
        sheet.notes.add(
            "font substituted",
            f"{family} has no {named}; {other_family} stands in for it",
            text,
            remedy="Choose a font that has these characters, or turn the text into outlines in the drawing program.",
        )
    return found


def _clusters(characters: Sequence[Character]) -> list[list[Character]]:
    """Return letters with the marks on them, which stand or fall together."""
    clusters: list[list[Character]] = []
    for character in characters:
        mark = unicodedata.category(character.text)[0] == "M" or character.text in _JOINERS
        if mark and clusters and clusters[-1][0].place is character.place:
            clusters[-1].append(character)
        else:
            clusters.append([character])
    return clusters
