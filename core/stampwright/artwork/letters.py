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

    ``word``: the word that it stands in. ``place``: the box round its ink, turned with the text, same frame as the
    artwork; it says where the letter stands, whatever prints there besides.
    """

    character: str
    word: str
    place: Polygon

    def moved(self, matrix: Sequence[float]) -> Letter:
        """Return the letter taken through ``matrix`` (shapely's six-number affine form)."""
        return replace(self, place=affinity.affine_transform(self.place, list(matrix)))


def letter_of(text: str, at: int, outline: BaseGeometry) -> Letter | None:
    """Return the letter that stands at ``at`` in ``text`` and has ``outline`` as its ink; None where it has none.

    >>> letter = letter_of("seed library", 6, shapely.box(0, 0, 1, 2))
    >>> letter.character, letter.word, letter.place.bounds
    ('i', 'library', (0.0, 0.0, 1.0, 2.0))
    """
    if outline.is_empty:
        return None
    around = next((word for word in re.finditer(r"\S+", text) if word.start() <= at < word.end()), None)
    return Letter(text[at], around[0] if around else text[at], shapely.box(*outline.bounds))
