"""Letters: where the characters of text stand in artwork, so that what becomes of them can be told by name."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import affinity
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry


@dataclass(frozen=True)
class Letter:
    """A character of text in artwork.

    ``character``: with its accents; of a ligature, all that it stands for. ``word``: the word that it stands in.
    ``place``: the box round its ink, turned with the text, same frame as the artwork; it says where the letter stands,
    whatever prints there besides. Letters of a text come in the order in which it is read.
    """

    character: str
    word: str
    place: Polygon

    def moved(self, matrix: Sequence[float]) -> Letter:
        """Return the letter taken through ``matrix`` (shapely's six-number affine form)."""
        return replace(self, place=affinity.affine_transform(self.place, list(matrix)))


_UNSEEN = re.compile("[\u00ad\u061c\u200b\u200e\u200f\u202a-\u202e\u2060\u2066-\u2069\ufeff]")
"""Characters that only say where a word may break or which way it is read."""

_WORD = re.compile(r"[^\s\u200b]+")


def letter_of(
    text: str, at: int, outline: BaseGeometry, end: int | None = None, breaks: Sequence[int] = ()
) -> Letter | None:
    """Return the letter that stands at ``at`` in ``text`` and has ``outline`` as its ink; None where it has none.

    ``end``: index past the last character that it stands for. ``breaks``: where lines begin, in order, though there is
    no space before.

    >>> letter = letter_of("seed library", 6, shapely.box(0, 0, 1, 2))
    >>> letter.character, letter.word, letter.place.bounds
    ('i', 'library', (0.0, 0.0, 1.0, 2.0))
    >>> letter_of("office", 1, shapely.box(0, 0, 1, 2), end=4).character
    'ffi'
    """
    if outline.is_empty:
        return None
    character = _UNSEEN.sub("", text[at : at + 1 if end is None else end]).strip() or text[at]
    around = next((word for word in _WORD.finditer(text) if word.start() <= at < word.end()), None)
    if around is None:
        return Letter(character, character, shapely.box(*outline.bounds))
    first = max((each for each in breaks if each <= at), default=0)
    last = min((each for each in breaks if each > at), default=len(text))
    word = text[max(first, around.start()) : min(last, around.end())]
    return Letter(character, _UNSEEN.sub("", word), shapely.box(*outline.bounds))
