"""What a table of orders is once it is read: rows of named cells, and what is wrong, each in a line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

MOST_SHOWN = 60
"""Characters of a cell that a message shows."""

ORDER, CUSTOMER = "order", "customer"
"""Columns that say whose a row is."""


@dataclass(frozen=True)
class Row:
    """One row: its ``number``, the header being 1 where there is one, and its cells by column, as they were written."""

    number: int
    cells: Mapping[str, str]


@dataclass(frozen=True)
class Fault:
    """What keeps one row from being made: the row, the column, what it holds, and what is allowed.

    ``order``, ``customer``: as the row calls them where it was read so far, in a line, for whoever asks them.
    """

    row: int
    column: str
    value: str
    why: str
    order: str = ""
    customer: str = ""

    @classmethod
    def in_cell(cls, row: Row, column: str, why: str) -> Fault:
        """Return what is wrong with a cell of a row, or with the row where the column is none of its."""
        order, customer = (_plain(row.cells.get(name, "")) for name in (ORDER, CUSTOMER))
        return cls(row.number, column, row.cells.get(column, ""), why, order, customer)

    def __str__(self) -> str:
        """Return it as one line that no terminal obeys."""
        where = f"row {self.row}" + (f", {shown(self.column)}" if self.column else "")
        return " ".join(f"{where}{f' = {shown(self.value)}' if self.value else ''}: {self.why}".split())


@dataclass(frozen=True)
class Table:
    """A table as read: its ``columns`` in order, its good ``rows``, and the ``faults`` of the others.

    ``commas``: whether a number in it may have a decimal comma, as a comma separates no cells.
    """

    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    faults: tuple[Fault, ...] = ()
    commas: bool = False


def shown(value: str) -> str:
    r"""Return a cell as a message shows it: short, in quotes, and whatever is not to be seen spelt out.

    >>> shown("a\x1b[31m\u202eb")
    "'a\\x1b[31m\\u202eb'"
    """
    return repr(value if len(value) <= MOST_SHOWN else value[: MOST_SHOWN - 1] + "…")


def _plain(cell: str) -> str:
    """Return a cell in a line: whatever it holds, it stands among cells that were checked."""
    return " ".join("".join(letter if letter.isprintable() else " " for letter in cell[:1000]).split())[:MOST_SHOWN]
