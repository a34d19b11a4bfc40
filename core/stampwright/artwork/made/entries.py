"""Dates and numbers, set or left as ruled blanks to write on."""

from __future__ import annotations

import datetime
import re

from shapely import affinity
from shapely.geometry import box
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...findings import Finding
from ...job.pieces import DateLine, NumberLine
from ...plane.overlays import all_joined
from ...plane.regions import sound_parts
from ..letters import Letter
from .lettering import choose_font, set_piece
from .made import Made, Setup, letters_of

_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

_POINTED = re.compile(r"\s*(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})\s*")

_BLANK_WIDTH = 0.9
"""Room for one written digit, as a share of the capitals' height."""

_GAP = 0.45
"""Gap between words and blanks, as a share of the capitals' height."""


def make_date(piece: DateLine, setup: Setup) -> Made:
    """Set a date, or blanks for day, month and year.

    Raises :class:`~stampwright.errors.ArtworkError` when the date is none.
    """
    if not piece.date:
        blanks = {
            "day month year": (2, 2, 4), "day.month.year": (2, ".", 2, ".", 4),
            "month/day/year": (2, "/", 2, "/", 4), "year-month-day": (4, "-", 2, "-", 2),
        }[piece.form]  # fmt: skip
        return _make_row((piece.label, *blanks), piece, setup)
    day = _day_of(piece.date)
    said = {
        "day month year": f"{day.day} {_MONTHS[day.month - 1]} {day.year}",
        "day.month.year": f"{day.day:02}.{day.month:02}.{day.year}",
        "month/day/year": f"{day.month:02}/{day.day:02}/{day.year}",
        "year-month-day": day.isoformat(),
    }[piece.form]
    return _make_row((f"{piece.label} {said}".strip(),), piece, setup)


def _day_of(text: str) -> datetime.date:
    """Return the day that is written as year-month-day, or with points as day.month.year, which is never turned round.

    >>> _day_of("2026-11-05") == _day_of("5.11.2026") == _day_of("05. 11. 2026")
    True
    """
    pointed = _POINTED.fullmatch(text)
    try:
        if pointed is not None:
            return datetime.date(int(pointed[3]), int(pointed[2]), int(pointed[1]))
        return datetime.date.fromisoformat(text)
    except ValueError as error:
        raise ArtworkError(
            f"date.date = {text!r} is no date; write it as year-month-day, such as 2026-11-25"
        ) from error


def make_number(piece: NumberLine, setup: Setup) -> Made:
    """Set a number with leading zeros, or a blank for it."""
    if piece.number < 0:
        return _make_row((piece.label, piece.digits), piece, setup)
    return _make_row((f"{piece.label} {piece.number:0{piece.digits}}".strip(),), piece, setup)


def _make_row(entries: tuple[str | int, ...], piece: DateLine | NumberLine, setup: Setup) -> Made:
    """Set words, and blanks of so many digits, one after the other; about the middle of the row."""
    font, found = choose_font(piece, setup)
    findings: list[Finding] = list(found)
    gap, reach = _GAP * piece.cap_height, 0.0
    regions: list[BaseGeometry] = []
    letters: list[Letter] = []
    for entry in entries:
        if isinstance(entry, int):
            end = reach + entry * _BLANK_WIDTH * piece.cap_height
            regions.append(box(reach, -piece.line, end, 0.0))
        else:
            line = set_piece(entry, piece, font, setup)
            findings += line.findings
            words = line.outlines
            if words.is_empty:
                continue
            left, _, right, _ = words.bounds
            regions.append(affinity.translate(words, reach - left, 0.0))
            letters += [letter.moved((1, 0, 0, 1, reach - left, 0)) for letter in letters_of(line)]
            end = reach + right - left
        reach = end + gap
    row = sound_parts(all_joined(regions))
    middle = (reach - gap) / 2
    made = Made(row, findings=tuple(findings), letters=tuple(letters))
    return made.moved(-middle, -piece.cap_height / 2, 0.0)
