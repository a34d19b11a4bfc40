"""Rows checked before anything is built: each becomes an order, or a line that says what is wrong with it."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from ...artwork.fonts import MISSING_GLYPH
from ...errors import ArtworkError, JobError, OrderError, WordsError
from ...job import Job
from ...job.pieces import files_in
from ...job.written.texts import as_line
from ...templates import Template, fill_template
from ...workshop import artwork_of
from .cells import MOST_STAMPS, BadCell, count_in, demand_seen, file_in, setting_in, switch_in, words_in
from .columns import ARTWORK, COUNT, RUSH, Columns, columns_of
from .naming import Names
from .rows import CUSTOMER, ORDER, Fault, Row, Table

MOST_READ = 500_000
"""Bytes of a file that is read while a table is checked."""

_LETTER = re.compile(r"U\+([0-9A-F]{4,6})")


@dataclass(frozen=True)
class Order:
    """One row that can be made.

    ``name``: of its folder; ``order``, ``customer``: as the table calls them; ``words``: what the stamp says, for
    people; ``count``: how many of it; ``rush``: whether it comes first; ``job``: what is made.
    """

    name: str
    row: int
    order: str
    customer: str
    words: str
    count: int
    rush: bool
    job: Job


@dataclass(frozen=True)
class Checked:
    """A table checked: what can be made, and what is wrong with the other rows, both in the order of the rows."""

    orders: tuple[Order, ...]
    faults: tuple[Fault, ...]


def check_orders(
    table: Table,
    template: Template,
    folder: Path,
    *,
    settings: Mapping[str, Any] | None = None,
    left_out: Collection[str] = (),
    told: Callable[[str, float], None] | None = None,
) -> Checked:
    """Return which rows can be made, with their jobs, and a line for each that cannot.

    ``folder``: that of the table; files that it names lie in it or deeper. ``settings``: of the job for all rows; what
    a column says comes first. ``left_out``: columns that are not for the stamps. ``told``: which row is checked, and
    which share of all is. Raises :class:`~stampwright.errors.OrderError` when a column is for nothing the template has,
    that is wrong itself, or the table asks for more stamps than any order has.
    """
    _demand_template(template, dict(settings or {}))
    columns = columns_of(table.columns, template, left_out)
    check = _Check(template, columns, folder, dict(settings or {}), commas=table.commas)
    names = Names()
    orders, faults = [], list(table.faults)
    for number, row in enumerate(table.rows):
        if told is not None:
            told(f"check row {row.number}", number / len(table.rows))
        try:
            orders.append(check.order(row, names))
        except BadCell as bad:
            faults.append(bad.fault)
    stamps = sum(order.count for order in orders)
    if stamps > MOST_STAMPS:
        raise OrderError(f"the table asks for {stamps:,} stamps in all; {MOST_STAMPS:,} at most: split it")
    return Checked(tuple(orders), tuple(sorted(faults, key=lambda fault: fault.row)))


def _demand_template(template: Template, settings: dict[str, Any]) -> None:
    """Raise what is wrong with a template itself once, not in every row."""
    try:
        fill_template(template, {}, settings)
    except (WordsError, ArtworkError):
        # What its words lack, the rows may have.
        return
    except JobError as error:
        raise OrderError(f"the template {template.name!r}: {error}") from error


class _Check:
    """The check of one table's rows; artwork that several name is read once."""

    def __init__(
        self, template: Template, columns: Columns, folder: Path, settings: dict[str, Any], *, commas: bool
    ) -> None:
        self._template, self._columns, self._folder, self._settings = template, columns, folder, settings
        self._commas = commas
        self._read: dict[str, str] = {}

    def order(self, row: Row, names: Names) -> Order:
        """Return the order of a row; raises :class:`BadCell`."""
        for column in row.cells:
            if column not in self._columns.left_out:
                demand_seen(row, column)
        count, rush = count_in(row, COUNT), switch_in(row, RUSH)
        said = self._said(row)
        values = {**self._settings, **self._values(row)}
        job = self._artwork(row, self._filled(row, said, values))
        if job.inks:
            raise BadCell(row, "", "it is of several inks, and so of several dies; make such a stamp by itself")
        self._demand_letters(row, job)
        files = self._columns.file_places
        words = as_line(
            " / ".join(" ".join(text.split()) for place, text in said.items() if text and place not in files)
        )
        order = " ".join(row.cells.get(ORDER, "").split())
        told = {name: text for name, text in row.cells.items() if name in (*said, *self._columns.settings, ARTWORK)}
        name, refused = names.give(row.number, order, words, told)
        if refused:
            raise BadCell(row, ORDER, refused)
        customer = " ".join(row.cells.get(CUSTOMER, "").split())
        return Order(name, row.number, order, customer, words or job.name, count, rush, job)

    def _said(self, row: Row) -> dict[str, str]:
        said = {place: words_in(row, place) for place in self._columns.places if place in row.cells}
        return {
            place: file_in(row, place, self._folder) if text and place in self._columns.file_places else text
            for place, text in said.items()
        }

    def _values(self, row: Row) -> dict[str, Any]:
        typed = (column for column in self._columns.settings if row.cells.get(column, "").strip())
        return dict(setting_in(row, column, self._folder, commas=self._commas) for column in typed)

    def _filled(self, row: Row, said: dict[str, str], values: dict[str, Any]) -> Job:
        try:
            return fill_template(self._template, said, values)
        except WordsError as error:
            raise BadCell(row, self._column(error.places), _without(error.places, str(error))) from error
        except ArtworkError as error:
            raise BadCell(row, self._column_of(row, str(error)), str(error)) from error
        except JobError as error:
            raise BadCell(row, "", str(error)) from error

    def _artwork(self, row: Row, job: Job) -> Job:
        if not row.cells.get(ARTWORK, "").strip():
            return job
        if job.pieces:
            raise BadCell(row, ARTWORK, 'the template has pieces; let one of them be a mark with file = "{PLACE}"')
        return replace(job, artwork=file_in(row, ARTWORK, self._folder))

    def _demand_letters(self, row: Row, job: Job) -> None:
        """Refuse artwork that cannot be read or made, and words of which a letter would be missing."""
        if any(_large(file) for file in (job.artwork, *files_in(job.pieces)) if file):
            return
        if not job.pieces:
            if job.artwork not in self._read:
                self._read[job.artwork] = _trouble(job)
            if self._read[job.artwork]:
                raise BadCell(row, ARTWORK if ARTWORK in row.cells else "", self._read[job.artwork])
            return
        try:
            findings = artwork_of(job).findings
        except (ArtworkError, JobError) as error:
            raise BadCell(row, self._column_of(row, str(error)), str(error)) from error
        missing = next((finding.message for finding in findings if finding.kind == MISSING_GLYPH), "")
        if missing:
            told = missing.partition(";")[0]
            raise BadCell(row, self._column_of(row, missing), f"{told}; write it otherwise, or name another font")

    def _column_of(self, row: Row, told: str) -> str:
        """Return the column whose letters a message tells of, if there is one."""
        letters = {chr(int(code, 16)) for code in _LETTER.findall(told)}
        places = self._columns.places
        return self._column(tuple(place for place in places if letters & set(row.cells.get(place, ""))) or places)

    def _column(self, places: tuple[str, ...]) -> str:
        """Return the column of a message: the only one of these places that the table has, if it is only one."""
        named = [place for place in dict.fromkeys(places) if place in self._columns.places]
        return named[0] if len(named) == 1 else ""


def _large(file: str) -> bool:
    """Whether a file may take long to read: that is left to the process that makes its stamp, and is watched."""
    try:
        return Path(file).stat().st_size > MOST_READ
    except OSError:
        return False


def _trouble(job: Job) -> str:
    try:
        artwork_of(job)
    except (ArtworkError, JobError) as error:
        return str(error)
    return ""


def _without(places: tuple[str, ...], told: str) -> str:
    """Return a message without the place that it begins with, which is told as the column."""
    return told.removeprefix(f"{places[0]}: ") if len(places) == 1 else told
