"""Fitting: words too long for their room set smaller, closer, in several lines, or refused with what would do."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from itertools import combinations, pairwise

from ..artwork.fonts import MISSING_GLYPH
from ..artwork.made import make_artwork
from ..errors import ArtworkError, WordsError
from ..job.pieces import Lettering, Piece, QrCode, RoundLettering, Typeset
from .type_sizes import least_cap_height, pen_for

MODULE_LINES = 2.0
"""Least side of a code's module, printed lines."""

_STEP = 0.05
"""Sizes are set in such steps, mm, rounded down."""

_CLOSER = 0.01
"""Space between letters is set in such steps, mm, rounded down."""

_MOST_RAISED = 1.25
"""Letters that need it, such as Å, are set larger than in the template by this much at most: lines stay apart."""

_TYPE = {field.name for field in fields(Typeset)} - {field.name for field in fields(Piece)}
"""Settings of the letters, whatever line they stand on."""

_MOST_BREAKS = 400
"""Ways of breaking a text into lines that are tried."""


@dataclass(frozen=True)
class PieceRoom:
    """The room of a piece, and the rules for what is too long for it.

    ``places``: of the words in it; ``line_width``, ``spread``: of printer and ink, mm; ``fits``: mm or degrees across;
    ``fits_up``: mm; ``smallest``: capitals, mm; ``narrowest``: space between letters, mm; ``most_lines``: into how
    many it may be broken.
    """

    places: tuple[str, ...]
    line_width: float
    spread: float
    fits: float = math.inf
    fits_up: float = math.inf
    smallest: float = 0.0
    narrowest: float = 0.0
    most_lines: float = 1

    @property
    def where(self) -> str:
        """The places in words."""
        return " and ".join(self.places) or "a text of the template"


def fit_text(piece: Typeset, room: PieceRoom) -> Typeset:
    """Return type that fits its room: as it is, smaller, closer at the smallest size, or so in several lines.

    Raises :class:`WordsError` when it does not fit even so.
    """
    try:
        fitted = _fit_text(piece, room)
        told = next((found.message for found in make_artwork([fitted]).findings if found.kind == MISSING_GLYPH), "")
    except ArtworkError as error:
        if "Name a font" not in str(error):
            raise
        told = str(error)
    if not told:
        return fitted
    # A reader would miss what no font at hand has: a picture of a word, or another script.
    letters = told.partition(" has no ")[2].partition(";")[0]
    raise WordsError(
        f"{room.where}: no font at hand has {letters}; write it otherwise, or name a font that has them in a template "
        "of your own, by font or font_file of its pieces",
        room.places,
    )


def _fit_text(piece: Typeset, room: PieceRoom) -> Typeset:
    piece, least = _raised(piece, room)
    found = _in_lines(piece, room, least)
    if found is None:
        raise _refusal(piece, room, least)
    return found


def _raised(piece: Typeset, room: PieceRoom) -> tuple[Typeset, float]:
    """Return type as high as its letters need, within limits, and down to which height it may be set, mm."""
    printed = least_cap_height(_said(piece), room.line_width, room.spread, drawn=piece.drawn)
    if piece.cap_height < printed <= _MOST_RAISED * piece.cap_height:
        piece = replace(piece, cap_height=printed)
    return _drawn(piece, room), min(max(printed, room.smallest), piece.cap_height)


def _drawn(piece: Typeset, room: PieceRoom) -> Typeset:
    """Return type whose middle lines, where it is drawn by them, are as wide as letters so high have room for."""
    if piece.drawn == "outlines":
        return piece
    pen = pen_for(_said(piece), piece.cap_height, piece.stroke, room.line_width, room.spread)
    return replace(piece, stroke=pen)


def _said(piece: Typeset) -> str:
    return " ".join((getattr(piece, "label", ""), getattr(piece, "text", "")))


def _in_lines(piece: Typeset, room: PieceRoom, least: float) -> Typeset | None:
    """Return type in the fewest lines in which it fits, and of their breaks the one with the largest letters."""
    found = _fitted(piece, room, least)
    for lines in range(2, round(room.most_lines) + 1):
        if found is not None or not isinstance(piece, Lettering):
            break
        ways = [fit for text in _broken(piece.text, lines) if (fit := _fitted(replace(piece, text=text), room, least))]
        found = max(ways, key=lambda way: (way.cap_height, way.spacing), default=None)
    return found


def fit_code(piece: QrCode, room: PieceRoom) -> QrCode:
    """Return a code that fits its room, its modules as small as they need be.

    Raises :class:`WordsError` when they would not print.
    """
    least = MODULE_LINES * room.line_width
    wide = make_artwork([piece]).page_size[0]
    if wide <= room.fits:
        return piece
    module = round(math.floor(piece.module * room.fits / wide / _STEP + 1e-6) * _STEP, 2)
    if module >= least - 1e-9:
        return replace(piece, module=module)
    raise WordsError(
        f"{room.where}: {len(piece.text)} characters make a code of {wide / piece.module * least:.0f} mm at the "
        f"smallest modules that print, {least:g} mm, and there are {room.fits:.0f} mm. Shorten it: capitals, digits "
        "and $%*+-./: take the least room",
        room.places,
    )


def _fitted(piece: Typeset, room: PieceRoom, least: float) -> Typeset | None:
    """Return type as large as its room allows, down to ``least`` and then closer, or None when that is too large."""
    if math.isinf(room.fits) and math.isinf(room.fits_up):
        return piece
    wide, high = _size(piece)
    share = min(room.fits / max(wide, 1e-9), room.fits_up / max(high, 1e-9))
    if share >= 1.0:
        return piece
    if piece.cap_height * share >= least + _STEP:
        return _resized(piece, piece.cap_height * share, room)
    return _closer(_drawn(replace(piece, cap_height=least, spacing=min(piece.spacing, 0.0)), room), room)


def _closer(narrow: Typeset, room: PieceRoom) -> Typeset | None:
    """Return type at its smallest, its letters as close as they need be, or None when that is too large."""
    wide, high = _size(narrow)
    narrowest = min(narrow.spacing, room.narrowest)
    closest = _size(replace(narrow, spacing=narrowest))[0]
    if high > room.fits_up or min(wide, closest) > room.fits:
        return None
    if wide <= room.fits:
        return narrow
    # Width grows with the space between letters in a straight line.
    spacing = narrowest + (narrow.spacing - narrowest) * (room.fits - closest) / max(wide - closest, 1e-9)
    closer = replace(narrow, spacing=round(math.floor(spacing / _CLOSER) * _CLOSER, 2))
    return closer if _size(closer)[0] <= room.fits else replace(narrow, spacing=narrowest)


def _broken(text: str, lines: int) -> list[str]:
    """Return a text of one line broken between words into so many, in every way or as many ways as are tried."""
    words = text.split()
    if "\n" in text.strip() or len(words) < lines:
        return []
    ways: list[str] = []
    for breaks in combinations(range(1, len(words)), lines - 1):
        if len(ways) == _MOST_BREAKS:
            break
        edges = (0, *breaks, len(words))
        parts = (" ".join(words[start:end]) for start, end in pairwise(edges))
        ways.append("\n".join(parts))
    # Lines as alike as can be come first: the rest need not be set to see that they are wider.
    return sorted(ways, key=lambda way: max(map(len, way.split("\n"))))[:8]


def _refusal(piece: Typeset, room: PieceRoom, least: float) -> WordsError:
    """Return what is too large in the narrowest way in which type may be set, and what would do."""
    narrow = _drawn(replace(piece, cap_height=least, spacing=min(piece.spacing, room.narrowest)), room)
    ways: list[Typeset] = [narrow]
    if isinstance(narrow, Lettering):
        counts = range(2, round(room.most_lines) + 1)
        ways += [replace(narrow, text=text) for lines in counts for text in _broken(narrow.text, lines)]
    wide, way = min(((_size(way)[0], way) for way in ways), key=lambda each: each[0])
    longest = max(_said(way).splitlines(), key=len).strip()
    unit = "°" if isinstance(piece, RoundLettering) else " mm"
    smallest = "that print" if room.smallest < least else "that the template allows"
    if wide <= room.fits:
        return WordsError(
            f"{room.where}: {longest[:40]!r} is too high at the smallest letters {smallest}, {least:g} mm, for "
            f"{room.fits_up:g} mm. {'Leave lines out' if way is narrow else 'Shorten it'}",
            room.places,
        )
    in_lines = "" if way is narrow else f", the longest of {len(_said(way).splitlines())} lines,"
    remedies = ["Shorten it"]
    # Capitals print smaller, and are wider.
    capitals, at_least = _raised(_in_capitals(piece), room)
    if _said(capitals) != _said(piece) and _in_lines(capitals, room, at_least) is not None:
        remedies.append("set it in capitals")
    if isinstance(piece, Lettering) and room.most_lines < 2 and " " in longest and room.places:
        remedies.append("let the template break it (most_lines = 2)")
    return WordsError(
        f"{room.where}: {longest[:40]!r}{in_lines} takes {wide:.0f}{unit} at the smallest letters {smallest}, "
        f"{least:g} mm, and there are {room.fits:.0f}{unit}: about {int(len(longest) * room.fits / wide)} such "
        f"characters fit{' a line' if in_lines else ''}. {', or '.join(remedies)}",
        room.places,
    )


def _in_capitals(piece: Typeset) -> Typeset:
    """Return type whose words are in capitals."""
    return replace(piece, **{name: getattr(piece, name).upper() for name in ("label", "text") if hasattr(piece, name)})


def _resized(piece: Typeset, cap_height: float, room: PieceRoom) -> Typeset:
    cap_height = round(math.floor(cap_height / _STEP + 1e-6) * _STEP, 2)
    spacing = piece.spacing * cap_height / piece.cap_height
    return _drawn(replace(piece, cap_height=cap_height, spacing=spacing), room)


def _size(piece: Typeset) -> tuple[float, float]:
    """Return how much room type takes at most: mm across, or degrees round its circle, and mm up."""
    pen = 0.0
    if piece.drawn != "outlines":
        # Middle lines lie within the outlines, and the pen reaches half its width past them: drawing them takes longer.
        piece, pen = replace(piece, drawn="outlines"), piece.stroke
    if not isinstance(piece, RoundLettering):
        wide, high = make_artwork([replace(piece, x=0.0, y=0.0, turn=0.0)]).page_size
        return wide + pen, high + pen
    straight = {name: getattr(piece, name) for name in _TYPE}
    wide, high = make_artwork([Lettering(text=piece.text, **straight)]).page_size
    return math.degrees((wide + pen) / piece.radius), high + pen
