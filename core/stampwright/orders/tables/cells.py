"""Cells read as what their columns mean: counts, settings, files; each bad one refused with what is allowed."""

from __future__ import annotations

import os
import re
import unicodedata
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

from ...errors import JobError
from ...job import Job
from ...job.sections.face import FILES
from ...job.written.files import parse_setting
from .rows import Fault, Row

MOST_COPIES, MOST_STAMPS = 10_000, 100_000
"""Stamps of one row, and of all together."""

MOST_WORDS = 250
"""Characters of a text on a stamp."""

_SAID = {"yes": True, "true": True, "1": True, "x": True, "no": False, "false": False, "0": False, "": False}

_DECIMAL_COMMA = re.compile(r"([+-]?[0-9]+),([0-9]+)")

_THOUSANDS = 3  # digits

_WHOLE = re.compile(r"(?<=[0-9])[.,]0{1,2}$")

_UNSEEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
"""Categories of what no eye sees: controls, signs that turn or hide what stands beside them, and what is no letter."""


class BadCell(Exception):
    """Ends the check of a row with its fault."""

    def __init__(self, row: Row, column: str, why: str) -> None:
        super().__init__(why)
        self.fault = Fault.in_cell(row, column, why)


def demand_seen(row: Row, column: str) -> None:
    """Refuse a cell with what no eye sees and no stamp prints."""
    for letter in row.cells[column]:
        if letter not in "\n\r\t" and unicodedata.category(letter) in _UNSEEN:
            raise BadCell(row, column, f"holds U+{ord(letter):04X}, which is not to be seen; take it out")


def words_in(row: Row, column: str) -> str:
    """Return the words of a cell; raises :class:`BadCell` when they are more than any stamp has."""
    said = row.cells[column].strip()
    if len(said) > MOST_WORDS:
        raise BadCell(row, column, f"has {len(said)} characters; a text on a stamp has {MOST_WORDS} at most")
    return said


def count_in(row: Row, column: str) -> int:
    """Return how many stamps a cell asks for, one when it is empty; raises :class:`BadCell`."""
    typed = row.cells.get(column, "").strip()
    if not typed:
        return 1
    # As programs write whole numbers that they keep as others; with three noughts it would be a thousand.
    typed = _WHOLE.sub("", typed)
    if not (typed.isascii() and typed.isdigit() and len(typed) < 9 and 1 <= int(typed) <= MOST_COPIES):
        raise BadCell(row, column, f"it takes a whole number from 1 to {MOST_COPIES:,}")
    return int(typed)


def switch_in(row: Row, column: str) -> bool:
    """Return whether a cell says yes; raises :class:`BadCell` when it says neither yes nor no."""
    typed = row.cells.get(column, "").strip().casefold()
    if typed not in _SAID:
        raise BadCell(row, column, "it takes yes or no")
    return _SAID[typed]


def setting_in(row: Row, column: str, folder: Path, *, commas: bool = False) -> tuple[str, Any]:
    """Return the path and value of the setting that a column is called; raises :class:`BadCell`.

    ``commas``: whether a number may have a decimal comma. Before three digits it is refused all the same: it may part
    thousands.
    """
    typed = row.cells[column].strip()
    try:
        path, value = parse_setting(f"{column}={typed}")
        if path.startswith("face.") and path.removeprefix("face.") in FILES:
            return path, file_in(row, column, folder)
        Job().with_value(path, value)
    except JobError as error:
        # What settings ask of each other is said when all of them are known.
        if str(error).startswith(f"{path} = "):
            found = _DECIMAL_COMMA.match(typed)
            if commas and found is not None and len(found[2]) != _THOUSANDS:
                pointed = replace(row, cells={**row.cells, column: _DECIMAL_COMMA.sub(r"\1.\2", typed, count=1)})
                with suppress(BadCell):
                    return setting_in(pointed, column, folder)
            raise BadCell(row, column, f"{_allowed(str(error))}{_with_a_point(typed)}") from error
    return path, value


def file_in(row: Row, column: str, folder: Path) -> str:
    """Return the path of the file that a cell names; raises :class:`BadCell` when it lies outside the folder."""
    typed, home = row.cells[column].strip(), os.path.realpath(folder)
    if "\n" in typed or "\r" in typed or os.path.isabs(typed) or Path(typed).drive:
        raise BadCell(row, column, "it takes the name of a file beside the table or deeper, relative to it")
    path = os.path.realpath(Path(home) / typed)
    if not Path(path).is_relative_to(home):
        raise BadCell(row, column, "it leads out of the table's folder; copy the file there, and name it so")
    if not Path(path).is_file():
        raise BadCell(row, column, "there is no such file beside the table")
    return path


def _with_a_point(typed: str) -> str:
    """Return how a number is written that has a comma where it takes a point."""
    found = _DECIMAL_COMMA.match(typed)
    return "" if found is None else f"; with a point it is {found[1]}.{found[2]}"


def _allowed(told: str) -> str:
    """Return what of a message about a setting says what is allowed; its value is told beside it."""
    before, takes, allowed = told.partition(": it takes ")
    return f"it takes {allowed}" if takes else before
