"""Lines of text broken where they would be wider than they may be, measured in the bundled font."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from ...artwork.fonts import Font, find_font
from ...artwork.fonts.case import BUNDLED_FAMILY, opened
from ...job.written.texts import as_line

WIDER = 1.13
"""How much wider than in the bundled font text may run where a reader's machine sets it in another (measured: DejaVu
Sans, of those in :mod:`~stampwright.looks.typefaces` the widest, is 12 % wider on English text)."""


def wrapped(said: str, size: float, width: float) -> list[str]:
    """Return text in lines of at most ``width``, mm, in type of ``size``, mm; nothing of it is left out.

    Lines break at spaces, and within a word only where that alone is wider than a line.

    >>> wrapped("Mossgate Seed Library", 4.0, 30.0)
    ['Mossgate', 'Seed Library']
    >>> wrapped("seeds" * 4, 4.0, 25.5)
    ['seedsseeds', 'seedsseeds']
    """
    lines = [""]
    for word in as_line(said).split():
        together = f"{lines[-1]} {word}" if lines[-1] else word
        if width_of(together, size) <= width:
            lines[-1] = together
            continue
        if lines[-1]:
            lines.append("")
        for letter in word:
            if lines[-1] and width_of(lines[-1] + letter, size) > width:
                lines.append("")
            lines[-1] += letter
    return lines


def titled(said: str, width: float, sizes: Sequence[float], most: int = 2) -> tuple[float, list[str]]:
    """Return a title in lines, and the size of its type, mm: the first in which it takes ``most`` lines, or the last.

    None of it is left out, however long it is.

    >>> titled("Mossgate", 60.0, (5.0, 4.0))
    (5.0, ['Mossgate'])
    """
    for size in sizes:
        lines = wrapped(said, size, width)
        if len(lines) <= most:
            break
    return size, lines


def width_of(said: str, size: float) -> float:
    """Return how wide a line of text of ``size``, mm, runs at most, mm."""
    return WIDER * size * sum(map(_advance, said))


@cache
def bundled_font() -> Font:
    """Return the font that comes with the program."""
    return find_font(BUNDLED_FAMILY, folders=())[0]


def in_bundled_font(said: str) -> str:
    """Return a line of text as the bundled font can set it: letters that it lacks as the sign for such a letter.

    SVG leaves them to whichever font the reader's machine has for them.

    >>> in_bundled_font("Зёрна") == "Зёрна", in_bundled_font("種子") == 2 * chr(0xFFFD)
    (True, True)
    """
    face = opened(bundled_font())
    return "".join(letter if face.get_nominal_glyph(ord(letter)) else "\ufffd" for letter in as_line(said))


@cache
def _advance(letter: str) -> float:
    """Return how far a letter reaches, in ems; one em for those that the font lacks, as ideographs have."""
    face = opened(bundled_font())
    glyph = face.get_nominal_glyph(ord(letter))
    return face.get_glyph_h_advance(glyph) / face.face.upem if glyph else 1.0
