"""Pieces: lettering, rings, rules, frames, codes and marks, as settings that a job or a pieces file holds.

Places are in mm, x right and y up as the impression reads; (0, 0) is wherever the maker of the artwork wants it, best
the middle of the stamp. Artwork is made of them in :mod:`stampwright.artwork.made`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields, replace
from difflib import get_close_matches
from typing import Any, ClassVar

from ..errors import JobError
from .settings import Setting, check_settings, setting
from .written.old_names import current_piece

MOST_PIECES = 500

_EM = 1.4
"""Size of type as a multiple of its capitals' height, as in the type that comes along."""

FILE_SETTINGS = ("file", "font_file")


@dataclass(frozen=True, kw_only=True)
class Piece:
    """What all pieces have: a place, a turn, and whether they print, are cut out of what lies below, take texture."""

    kind: ClassVar[str]

    x: float = setting(0.0, "Place across", unit="mm", low=-1000, high=1000)
    y: float = setting(0.0, "Place up", unit="mm", low=-1000, high=1000)
    turn: float = setting(0.0, "Turn about its place, counter-clockwise", unit="deg", low=-360, high=360)
    knock_out: bool = setting(False, "Cut the piece out of the ink of the pieces before it, instead of printing it")
    ink: str = setting("", "Ink that it prints in, by the name of one of the job's inks; empty for the first of them")
    plain: bool = setting(False, "The piece takes no texture where the face has one; codes never do")

    def __post_init__(self) -> None:
        """Check every setting; raises :class:`JobError`."""
        check_settings(self, self.kind)


@dataclass(frozen=True, kw_only=True)
class Typeset(Piece):
    """What all pieces with letters have."""

    font: str = setting("", "Family of type, or several in order of preference; empty for the one that comes along")
    font_file: str = setting("", "Font file, in place of a family; relative to the file that names it", text="path")
    weight: float = setting(
        700.0, "Weight of the type; bold has lines that print at a smaller size", low=1, high=1000, normal=(400, 900)
    )
    italic: bool = setting(False, "Slanted type")
    cap_height: float = setting(
        4.0,
        "Height of capitals; by default all letters of most languages print through a nozzle of 0.4 mm",
        unit="mm",
        low=0.3,
        high=300,
        normal=(2.5, 15),
    )
    spacing: float = setting(
        0.0, "Space added between letters; a little helps capitals", unit="mm", low=-10, high=100, normal=(0, 1)
    )
    kerning: bool = setting(True, "Use the font's own corrections for pairs of letters such as AV")
    drawn: str = setting(
        "outlines",
        "How letters are drawn",
        choices={
            "outlines": "As the font has them, thick and thin",
            "middle lines": "By their middle lines, all strokes one line wide: for type too small for its outlines",
        },
    )
    stroke: float = setting(
        0.4,
        "Width of strokes drawn by middle lines; that of a printed line, which is the nozzle's",
        unit="mm",
        low=0.05,
        high=10,
        normal=(0.25, 0.8),
    )


@dataclass(frozen=True, kw_only=True)
class Lettering(Typeset):
    """Lines of text. Its place: across by ``align``; up, midway between the first line's tops and the last's feet."""

    kind: ClassVar[str] = "lettering"

    text: str = setting("", "The text; it may have several lines", text="lines")
    align: str = setting(
        "centre",
        "Which edge of the lines is at its place",
        choices={
            "left": "The left edge of the lines",
            "centre": "Their middle",
            "right": "Their right edge",
        },
    )
    leading: float = setting(
        1.7, "From baseline to baseline, as a multiple of the capitals' height", low=0.5, high=10, normal=(1.4, 2.2)
    )
    width: float = setting(0.0, "Width at which lines break between words; 0 for no limit", unit="mm", low=0, high=1000)


@dataclass(frozen=True, kw_only=True)
class RoundLettering(Typeset):
    """Text round a circle, its middle at the top unless turned. Its place is the circle's middle."""

    kind: ClassVar[str] = "round lettering"

    text: str = setting("", "The text")
    radius: float = setting(20.0, "Radius of the circle that the letters stand on", unit="mm", low=0.5, high=500)
    side: str = setting(
        "outside",
        "Which side of the circle the letters stand on",
        choices={
            "outside": "Outside the circle, read clockwise",
            "inside": "Inside the circle, read counter-clockwise",
        },
    )
    span: float = setting(0.0, "Angle that the text is spaced out to; 0 keeps its own", unit="deg", low=0, high=360)


@dataclass(frozen=True, kw_only=True)
class Ring(Piece):
    """One line or several round a circle. Its place is the circle's middle."""

    kind: ClassVar[str] = "ring"

    diameter: float = setting(46.0, "Across the outermost line, outside", unit="mm", low=0.5, high=1000)
    line: float = setting(0.8, "Width of the outermost line", unit="mm", low=0.05, high=500, normal=(0.4, 3))
    count: int = setting(1, "How many lines, one inside the other", low=1, high=20)
    gap: float = setting(0.8, "Gap between lines", unit="mm", low=0.05, high=100, normal=(0.6, 3))
    inner_line: float = setting(0.8, "Width of the lines inside the first", unit="mm", low=0.05, high=100)
    dots: int = setting(0, "Break the ring into this many round dots; 0 for a whole line", low=0, high=1000)


@dataclass(frozen=True, kw_only=True)
class Rule(Piece):
    """A straight line. Its place is its middle."""

    kind: ClassVar[str] = "rule"

    length: float = setting(30.0, "Length", unit="mm", low=0.1, high=1000)
    line: float = setting(0.8, "Width of the line, at its thickest", unit="mm", low=0.05, high=100, normal=(0.4, 3))
    form: str = setting(
        "plain",
        "Form of the line",
        choices={
            "plain": "One line",
            "double": "Two lines",
            "dashed": "Dashes",
            "dotted": "Round dots",
            "swelled": "A line that swells in the middle",
        },
    )
    gap: float = setting(0.8, "Gap between two lines, dashes or dots", unit="mm", low=0.05, high=100)


@dataclass(frozen=True, kw_only=True)
class Frame(Piece):
    """A line round a rectangle. Its place is the rectangle's middle."""

    kind: ClassVar[str] = "frame"

    width: float = setting(50.0, "Across, outside", unit="mm", low=0.5, high=1000)
    height: float = setting(30.0, "Up, outside", unit="mm", low=0.5, high=1000)
    line: float = setting(0.8, "Width of the line", unit="mm", low=0.05, high=100, normal=(0.4, 3))
    corner: str = setting(
        "square",
        "Form of the corners",
        choices={
            "square": "Sharp corners",
            "round": "Rounded",
            "cut": "Cut off straight",
            "scooped": "Scooped out by a quarter circle",
            "stepped": "Stepped in",
        },
    )
    corner_size: float = setting(4.0, "Size of the corners", unit="mm", low=0, high=500)
    inner_line: float = setting(0.0, "Width of a second line inside; 0 for none", unit="mm", low=0, high=100)
    gap: float = setting(0.8, "Gap between the two lines", unit="mm", low=0.05, high=100)
    filled: bool = setting(False, "Fill the frame: a solid for letters to be knocked out of")


@dataclass(frozen=True, kw_only=True)
class DateLine(Typeset):
    """A date, or ruled blanks to write one into. Its place is as lettering's."""

    kind: ClassVar[str] = "date"

    label: str = setting("", "Text before the date")
    date: str = setting("", "The date as year-month-day, such as 2026-11-25; empty leaves blanks to write on")
    form: str = setting(
        "day month year",
        "Order and style",
        choices={
            "day month year": "25 November 2026",
            "day.month.year": "25.11.2026",
            "month/day/year": "11/25/2026",
            "year-month-day": "2026-11-25",
        },
    )
    line: float = setting(0.5, "Width of the line under a blank", unit="mm", low=0.05, high=10)


@dataclass(frozen=True, kw_only=True)
class NumberLine(Typeset):
    """A number with leading zeros, or ruled blanks to write one into. Its place is as lettering's."""

    kind: ClassVar[str] = "number"

    label: str = setting("No.", "Text before the number")
    number: int = setting(-1, "The number; -1 leaves blanks to write on", low=-1, high=10**15)
    digits: int = setting(4, "Least number of digits, or of blanks", low=1, high=30)
    line: float = setting(0.5, "Width of the line under a blank", unit="mm", low=0.05, high=10)


@dataclass(frozen=True, kw_only=True)
class QrCode(Piece):
    """A QR symbol (ISO/IEC 18004). Its place is its middle."""

    kind: ClassVar[str] = "qr"

    text: str = setting("", "What the symbol says; it may have several lines", text="lines")
    module: float = setting(
        1.0, "Side of one module; two printed lines at least", unit="mm", low=0.05, high=50, normal=(0.8, 2)
    )
    correction: str = setting(
        "M",
        "How much damage it stands",
        choices={
            "L": "About 7 % of it",
            "M": "About 15 % of it",
            "Q": "About 25 % of it",
            "H": "About 30 % of it",
        },
    )
    version: int = setting(0, "Size of the symbol, 1 to 40; 0 for the smallest that holds the text", low=0, high=40)


@dataclass(frozen=True, kw_only=True)
class Barcode(Typeset):
    """A linear bar code. Its place is the middle of its bars."""

    kind: ClassVar[str] = "barcode"

    text: str = setting("", "What the bars say; an EAN-13 takes 12 digits, or 13 with the right check digit")
    symbology: str = setting(
        "code 128",
        "Kind of bar code",
        choices={
            "code 128": "Any text of plain letters and digits",
            "ean 13": "The number of an article in a shop, 13 digits",
        },
    )
    module: float = setting(
        0.8, "Width of the narrowest bar; two printed lines at least", unit="mm", low=0.05, high=10, normal=(0.6, 1.5)
    )
    height: float = setting(12.0, "Height of the bars", unit="mm", low=1, high=200)
    readable: bool = setting(True, "Print the text below the bars")


@dataclass(frozen=True, kw_only=True)
class Mark(Piece):
    """Artwork from another file. Its place is the middle of its ink."""

    kind: ClassVar[str] = "mark"

    file: str = setting("", "The artwork's file, relative to the file that names it", text="path")
    width: float = setting(0.0, "Width of its ink; 0 follows the height, or the file", unit="mm", low=0, high=1000)
    height: float = setting(0.0, "Height of its ink; 0 follows the width, or the file", unit="mm", low=0, high=1000)


PIECES: dict[str, type[Piece]] = {
    each.kind: each
    for each in (Lettering, RoundLettering, Ring, Rule, Frame, DateLine, NumberLine, QrCode, Barcode, Mark)
}


def piece_settings(kind: type[Piece]) -> dict[str, Setting]:
    """Return the settings of a kind of piece by name."""
    return {each.name: each.metadata["setting"] for each in fields(kind)}


def pieces_from_data(data: Any, where: str = "pieces") -> tuple[Piece, ...]:
    """Return the pieces that a list of tables describes; raises :class:`JobError` naming the piece and the setting."""
    if not isinstance(data, list | tuple):
        raise JobError(f"{where} is a list of tables, one a piece, not {type(data).__name__}")
    if len(data) > MOST_PIECES:
        raise JobError(f"{where} has {len(data)} entries; a job takes {MOST_PIECES} at most")
    return tuple(_piece_from_data(each, f"{where}[{number}]") for number, each in enumerate(data, start=1))


def as_pieces(pieces: Any) -> tuple[Piece, ...]:
    """Return pieces as a tuple; raises :class:`JobError` when one is none, or there are more than a job takes."""
    if isinstance(pieces, str | bytes | Mapping) or not isinstance(pieces, Iterable):
        raise JobError(f"pieces takes a list of pieces such as Ring() or Lettering(), not {type(pieces).__name__}")
    found: tuple[Piece, ...] = tuple(pieces)
    for number, piece in enumerate(found, start=1):
        if not isinstance(piece, Piece):
            raise JobError(f"pieces[{number}] takes a piece such as Ring() or Lettering(), not {type(piece).__name__}")
    if len(found) > MOST_PIECES:
        raise JobError(f"pieces has {len(found)} entries; a job takes {MOST_PIECES} at most")
    return found


def pieces_as_data(pieces: tuple[Piece, ...]) -> list[dict[str, Any]]:
    """Return pieces as plain tables; settings at their default are left out."""
    tables = []
    for piece in pieces:
        table: dict[str, Any] = {"kind": piece.kind}
        for each in fields(piece):
            value = getattr(piece, each.name)
            if value != each.default:
                table[each.name] = list(value) if isinstance(value, tuple) else value
        tables.append(table)
    return tables


def with_files(pieces: tuple[Piece, ...], change: Callable[[str], str]) -> tuple[Piece, ...]:
    """Return the pieces with the name of every file that they name changed."""
    changed = []
    for piece in pieces:
        files: dict[str, Any] = {name: change(file) for name in FILE_SETTINGS if (file := getattr(piece, name, ""))}
        changed.append(replace(piece, **files))
    return tuple(changed)


def set_bolder(pieces: tuple[Piece, ...], weight: float, spacing: float) -> tuple[Piece, ...]:
    """Return the pieces with all type of some weight at least, and more space between letters.

    ``spacing``: added, as a share of the type's size, which is taken as 1.4 times the height of its capitals.

    >>> set_bolder((Lettering(weight=400.0, cap_height=5.0),), 700.0, 0.1)[0].spacing
    0.7
    """
    return tuple(
        replace(piece, weight=max(piece.weight, weight), spacing=piece.spacing + spacing * _EM * piece.cap_height)
        if isinstance(piece, Typeset)
        else piece
        for piece in pieces
    )


def files_in(pieces: tuple[Piece, ...]) -> tuple[str, ...]:
    """Return the names of all files that pieces name."""
    return tuple(file for piece in pieces for name in FILE_SETTINGS if (file := getattr(piece, name, "")))


def _piece_from_data(data: Any, where: str) -> Piece:
    if not isinstance(data, Mapping):
        raise JobError(f"{where} is a table of settings, not {type(data).__name__}")
    kind = data.get("kind")
    if not isinstance(kind, str) or kind not in PIECES:
        raise JobError(f"{where}.kind = {kind!r} is not a kind of piece; it takes one of {', '.join(PIECES)}")
    known = piece_settings(PIECES[kind])
    data = current_piece(data)
    for name in data:
        if name != "kind" and name not in known:
            nearest = get_close_matches(str(name), known, n=3, cutoff=0.5)
            hint = f"; nearest: {', '.join(nearest)}" if nearest else ""
            raise JobError(f"{where}: a {kind} has no setting {name!r}{hint}")
    try:
        return PIECES[kind](**{name: value for name, value in data.items() if name != "kind"})
    except JobError as error:
        raise JobError(f"{where}: {error}") from error
