"""Tables of our own: CSV whose cells no spreadsheet takes for a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

_RUNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""How a cell begins that spreadsheets reckon (OWASP, CSV Injection), and the wide forms that some take for them."""


def csv_of(header: Sequence[str], rows: Iterable[Sequence[str | int | float]]) -> bytes:
    """Return a table as CSV: UTF-8 with the mark that spreadsheets look for, commas, quotes where they are needed.

    >>> csv_of(("name", "count"), [("=cmd()", -2)]).decode("utf-8-sig").splitlines()[1]
    "'=cmd(),-2"
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    # What separates cells is told by the header: signs in a name that do so elsewhere are put in quotes.
    quoted = any(sign in name for sign in ";\t" for name in header)
    titles = csv.writer(text, lineterminator="\r\n", quoting=csv.QUOTE_ALL) if quoted else writer
    titles.writerow([_harmless(name) for name in header])
    for row in rows:
        writer.writerow([_harmless(cell) if isinstance(cell, str) else cell for cell in row])
    return text.getvalue().encode("utf-8-sig", "replace")


def _harmless(cell: str) -> str:
    """Return a text that stays text: an apostrophe before what would be reckoned, also after blanks."""
    return f"'{cell}" if cell.lstrip(" \N{NO-BREAK SPACE}").startswith(_RUNS) else cell
