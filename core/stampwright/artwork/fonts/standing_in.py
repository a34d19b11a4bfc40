"""Fonts that stand in for another where it lacks a letter."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from html import unescape
from pathlib import Path
from typing import Any

import uharfbuzz as harfbuzz

from .case import BUNDLED_FAMILY, Font, families_at_hand, find_font, fonts_of_family, looked_in, nearest_style, opened
from .setting import set_line

BROAD = ("DejaVu Sans", "Segoe UI", "Segoe UI Symbol", "Lucida Grande", "Apple Symbols", "Arial Unicode MS")
"""Families of many letters and signs that systems bring along, asked before all others."""


def holds(font: Font, characters: str) -> bool:
    r"""Return whether a font has every letter of a text, composed or taken apart; what is not seen needs none.

    >>> from stampwright.artwork.fonts import find_font
    >>> holds(find_font(folders=())[0], "e\u0301 \u200d"), holds(find_font(folders=())[0], "\u2665")
    (True, False)
    """
    return _holds(opened(font), characters)


def standing_in(
    characters: str, font: Font, families: str | Sequence[str] = (), *, folders: Iterable[Path] | None = None
) -> Font | None:
    """Return the font at hand that stands in for letters which ``font`` lacks; None where no font has all of them.

    ``families``: those that were asked for, in order of preference, which come first. The style is the one nearest to
    that of ``font``. ``folders``: as for :func:`find_font`.
    """
    names = families.split(",") if isinstance(families, str) else families
    wanted = tuple(name.strip().strip("\"'").lower() for name in names)
    return _standing_in(characters, font, wanted, looked_in(folders))


def stand_ins_in(text: str, font: Font) -> dict[int, Font]:
    """Return the fonts at hand that stand in where ``font`` lacks letters of a line, by the letters' indices.

    Letters go with the marks on them. What no font has stays with ``font``.
    """
    if holds(font, text):
        return {}
    found: dict[int, Font] = {}
    starts = [at for at, each in enumerate(text) if not at or not _leans(each)]
    for start, end in zip(starts, [*starts[1:], len(text)], strict=True):
        other = None if holds(font, text[start:end]) else standing_in(text[start:end], font)
        # Fonts of coloured pictures have letters without an outline.
        if other is not None and not set_line(text[start:end], other, 10.0).outlines.is_empty:
            found |= dict.fromkeys(range(start, end), other)
    return found


def fonts_standing_in(text: str, *, folders: Iterable[Path] | None = None) -> tuple[Path, ...]:
    """Return the files of all fonts that may stand in for letters of a text, a whole drawing perhaps.

    ``folders``: as for :func:`find_font`. Those of the families that it asks for are not among them.
    """
    searched = looked_in(folders)
    usual, _ = find_font(folders=())
    lacking = sorted(each for each in set(unescape(text)) if not holds(usual, each))
    found = (standing_in(each, usual, folders=searched) for each in lacking)
    families = {font.family.lower() for font in found if font is not None}
    return tuple(sorted({font.path for family in families for font in fonts_of_family(family, searched)}))


@lru_cache(maxsize=4096)
def _standing_in(characters: str, font: Font, wanted: tuple[str, ...], folders: tuple[Path, ...]) -> Font | None:
    for family in _in_order(wanted, folders):
        faces = fonts_of_family(family, folders)
        having = [face for face in faces if _holds(_kept_open(face.path, face.number), characters)]
        if having:
            return nearest_style(having, font)
    return None


def _in_order(wanted: tuple[str, ...], folders: tuple[Path, ...]) -> Iterator[str]:
    first = (*wanted, BUNDLED_FAMILY.lower(), *(name.lower() for name in BROAD))
    return iter(dict.fromkeys((*first, *families_at_hand(folders))))


@lru_cache(maxsize=4096)
def _kept_open(path: Path, number: int) -> Any:
    """Return a face as it is asked for letters; many are asked one after the other."""
    return harfbuzz.Font(harfbuzz.Face(harfbuzz.Blob.from_file_path(str(path)), number))


def _holds(face: Any, characters: str) -> bool:
    forms = (characters, *(unicodedata.normalize(form, characters) for form in ("NFC", "NFD")))
    return any(all(_needs_none(each) or face.get_nominal_glyph(ord(each)) for each in form) for form in forms)


def _leans(character: str) -> bool:
    """Return whether a character stands or falls with the one before it: marks and joiners."""
    return unicodedata.category(character)[0] == "M" or character in "\u200c\u200d"


def _needs_none(character: str) -> bool:
    """Return whether a character is shown by nothing of its own: spaces, controls, signs that choose a variant."""
    return unicodedata.category(character)[0] in "ZC" or "\ufe00" <= character <= "\ufe0f"
