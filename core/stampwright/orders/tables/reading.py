"""Tables of orders read: comma, semicolon or tab between cells, or a line of JSON a row."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from ...errors import OrderError, reason_of
from .rows import Fault, Row, Table, shown

LARGEST = 64_000_000
"""Bytes of a table; more is no table of orders."""

MOST_COLUMNS, MOST_ROWS, MOST_CHARACTERS = 500, 100_000, 3_000
"""Columns, rows, and characters of a cell."""

_SEPARATORS = ",;\t"

_TOLD = re.compile(r"sep=([,;\t])\r?\n", re.IGNORECASE)
"""A line before the header by which some spreadsheets say what stands between cells; they do not count it as a row."""

_MOST_NULS = 0.2
"""Share of a table's first bytes that may be naught: of a text of two bytes a letter about half are."""

_PACKED = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
"""How workbooks of spreadsheets begin: as archives, or as the compound files that older ones are."""

_JSON = (".jsonl", ".ndjson", ".json")


def read_orders(path: str | Path) -> Table:
    """Return the table in a file: CSV, with commas, semicolons or tabs, or JSON, one object a line.

    Which it is follows from the name and the header. The text is UTF-8, with or without the mark of it at its start.
    Cells come back as they are written: no formula is ever reckoned. A row that cannot be read as the header asks
    comes back as a fault. Raises :class:`~stampwright.errors.OrderError` when the whole cannot be read as a table.
    """
    path = Path(path)
    try:
        text = _text(path)
        if path.suffix.lower() in _JSON or text.lstrip()[:1] == "{":
            return _checked_size(_read_lines(text))
        told = _TOLD.match(text)
        if told is not None:
            return _checked_size(_read_cells(text[told.end() :], told[1], lines_before=1))
        return _checked_size(_read_cells(text, _separator(path, text)))
    except OrderError as error:
        raise OrderError(f"{path}: {error}") from error


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > LARGEST:
            raise OrderError(f"larger than {LARGEST // 1_000_000} MB; split the table of orders")
        data = path.read_bytes()
    except (OSError, ValueError) as error:
        raise OrderError(f"cannot be read ({reason_of(error)}); check the name") from error
    if data.startswith(_PACKED):
        raise OrderError("is a workbook, not a table in text; save its sheet as CSV in UTF-8")
    head = data[:1000]
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or head.count(0) > max(_MOST_NULS * len(head), 4):
        raise OrderError("is in UTF-16; save the table as CSV in UTF-8")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise OrderError(f"line {line} is not in UTF-8; save the table as CSV in UTF-8") from error


def _checked_size(table: Table) -> Table:
    if not table.rows and not table.faults:
        raise OrderError("holds no row; give it a header and one row at least")
    return table


def _separator(path: Path, text: str) -> str:
    """Return what stands between the cells of the header."""
    if path.suffix.lower() in (".tsv", ".tab"):
        return "\t"
    header = next((line for line in text.split("\n", 50)[:50] if line.strip()), "")
    # What is in quotes separates nothing.
    bare = "".join(header.split('"')[::2])
    return max(_SEPARATORS, key=bare.count)


def _read_cells(text: str, separator: str, lines_before: int = 0) -> Table:
    lines = _records(text, separator, lines_before)
    _, header = next(lines, (0, []))
    columns = _columns(header)
    rows: list[Row] = []
    faults: list[Fault] = []
    for number, cells in lines:
        if not any(cell.strip() for cell in cells):
            continue
        if len(rows) + len(faults) >= MOST_ROWS:
            raise OrderError(f"has more than {MOST_ROWS:,} rows; split it")
        if len(cells) != len(columns):
            held = "1 cell" if len(cells) == 1 else f"{len(cells):,} cells"
            told = f"has {held}, the header {len(columns):,}; put a text with a separator in quotes"
            faults.append(Fault(number, "", "", told))
            continue
        row = Row(number, dict(zip(columns, cells, strict=True)))
        wrong = _wrong_cell(row)
        if wrong is None:
            rows.append(row)
        else:
            faults.append(wrong)
    return Table(columns, tuple(rows), tuple(faults), commas=separator != ",")


def _records(text: str, separator: str, lines_before: int) -> Iterator[tuple[int, list[str]]]:
    """Yield every row that is not blank with its number, which counts rows as a sheet shows them."""
    # A cell may be as long as the file; how long it should be is said where it is known whose it is.
    csv.field_size_limit(LARGEST)
    # In a text of tabs quotes are as often plain signs, but whoever breaks a line in a cell writes them.
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    number = 0
    while True:
        began = lines_before + reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            told = "a quote is opened and never closed" if "end of data" in str(error) else str(error)
            raise OrderError(f"line {began}: {told}; nothing after it can be read") from error
        number += 1
        if cells:
            yield number, cells


def _columns(names: list[str]) -> tuple[str, ...]:
    """Return the names of columns; raises :class:`OrderError` when they name none, or one twice."""
    if len(names) > MOST_COLUMNS:
        raise OrderError(f"has {len(names):,} columns; {MOST_COLUMNS} at most")
    columns = tuple(name.strip() for name in names)
    if not columns:
        raise OrderError("is empty; give it a header and one row at least")
    for place, name in enumerate(columns, start=1):
        if not name:
            raise OrderError(f"column {place} of the header has no name; name it, or take it out")
        if len(name) > MOST_CHARACTERS or not name.isprintable():
            raise OrderError(f"column {place} of the header is called {shown(name)}; give it a plain name")
    twice = next((name for place, name in enumerate(columns) if name in columns[:place]), None)
    if twice is not None:
        raise OrderError(f"two columns are called {shown(twice)}; take one out")
    return columns


def _wrong_cell(row: Row) -> Fault | None:
    for column, cell in row.cells.items():
        if len(cell) > MOST_CHARACTERS:
            told = f"has {len(cell):,} characters; {MOST_CHARACTERS:,} at most"
            return Fault.in_cell(row, column, told)
        if "\0" in cell:
            return Fault.in_cell(row, column, "holds a NUL character; take it out")
    return None


def _read_lines(text: str) -> Table:
    """Return the table of lines of JSON, each an object; a column that a row has not is empty there."""
    columns: dict[str, None] = {}
    rows: list[Row] = []
    faults: list[Fault] = []
    # Only these end a line of JSON; others may stand in its texts.
    for number, line in enumerate(text.split("\n"), start=1):
        if not line.strip():
            continue
        if len(rows) + len(faults) >= MOST_ROWS:
            raise OrderError(f"has more than {MOST_ROWS:,} rows; split it")
        try:
            row = Row(number, _object(line))
        except OrderError as error:
            faults.append(Fault(number, "", "", str(error)))
            continue
        wrong = _wrong_cell(row)
        if wrong is None:
            rows.append(row)
            columns.update(dict.fromkeys(row.cells))
        else:
            faults.append(wrong)
        if len(columns) > MOST_COLUMNS:
            raise OrderError(f"row {number} brings it to {len(columns):,} columns; {MOST_COLUMNS} at most")
    named = _columns(list(columns)) if columns else ()
    return Table(named, tuple(rows), tuple(faults))


def _object(line: str) -> dict[str, str]:
    try:
        # Numbers stay as they are written: 007 is refused, and 1.50 stays what it was.
        found = json.loads(line, object_pairs_hook=_once, parse_int=str, parse_float=str, parse_constant=str)
    except (ValueError, RecursionError) as error:
        told = "nested too deeply" if isinstance(error, RecursionError) else str(error)
        raise OrderError(f"is no JSON ({told}); write one object a line") from error
    if not isinstance(found, dict):
        raise OrderError("is no object; write each row as {column: value} on one line")
    return {name.strip(): _cell(name, value) for name, value in found.items()}


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise OrderError("names a column twice; take one out")
    return found


def _cell(name: str, value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return value
    raise OrderError(f"{shown(name)} holds a list or an object; write a text or a number")
