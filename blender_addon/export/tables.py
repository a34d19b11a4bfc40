"""A table of names put into a text one by one: what each row's stamp is, and all of them written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy

from .. import loading
from ..job import changes
from ..live.tasks import LiveTask
from ..scene.stamps import drawn_by
from ..stampwright.errors import Cancelled, StampwrightError
from . import exporting

if TYPE_CHECKING:
    from bpy.types import Object

    from ..stampwright.memory import Progress

LONGEST = 250
"""Characters of a text on a stamp."""


@dataclass(frozen=True)
class Named:
    """One row of a table: its number, what its texts say, by the name of their object, and its folder's name."""

    row: int
    said: dict[str, str]
    folder: str

    @property
    def words(self) -> str:
        """What it says, on one line."""
        return " / ".join(" ".join(words.split()) for words in self.said.values())


@dataclass(frozen=True)
class TableWritten:
    """How it ended with the rows: the folders that were written, and a line for each that was not."""

    folders: tuple[Path, ...]
    told: tuple[str, ...]


def texts_of(root: Object) -> list[Object]:
    """Return the text objects that a stamp's artwork is drawn with."""
    return [each for each in drawn_by(root) if each.type == "FONT"]


def read_names(path: Path, root: Object, text: str = "", column: str = "") -> tuple[list[Named], list[str]]:
    """Return the rows of a table and a line for each that is bad.

    A column called as one of the stamp's text objects fills that; where none is, ``column``, or the first one, fills
    the object called ``text``, or the first one. Raises :class:`StampwrightError` when there is no such object or
    column.
    """
    texts = texts_of(root)
    if not texts:
        raise StampwrightError(f"{root.name} is not drawn with a text: add a text object to its artwork")
    table = loading.load("stampwright.orders.tables.reading").read_orders(path)
    filled = {name: name for name in table.columns if name in {each.name for each in texts}}
    if not filled or text or column:
        filled = {_column(table.columns, column): _text(texts, text)}
    names = loading.load("stampwright.orders.tables.naming").Names()
    found, told = [], [str(fault) for fault in table.faults]
    for row in table.rows:
        said = {text: row.cells.get(column, "").strip() for column, text in filled.items()}
        wrong = next((words for words in said.values() if not words or len(words) > LONGEST), None)
        if wrong is not None:
            told.append(
                f"row {row.number}: {'a text is empty' if not wrong else f'a text has {len(wrong)} characters'}"
            )
            continue
        one_line = " / ".join(" ".join(words.split()) for words in said.values())
        folder, refused = names.give(row.number, row.cells.get("order", "").strip(), one_line, said)
        if refused:
            told.append(f"row {row.number}: {refused}")
        else:
            found.append(Named(row.number, said, folder))
    return found, told


def _column(columns: Sequence[str], column: str) -> str:
    if column and column not in columns:
        raise StampwrightError(f"The table has no column {column!r}: it has {', '.join(columns)}")
    return column or columns[0]


def _text(texts: Sequence[Object], name: str) -> str:
    known = [each.name for each in texts]
    if name and name not in known:
        raise StampwrightError(f"{name!r} is no text of the stamp's artwork: there is {', '.join(known)}")
    return name or known[0]


@contextmanager
def saying(root: Object, named: Named) -> Iterator[None]:
    """Let the stamp's texts say what a row does, and call it so; after that all is as it was."""
    before = {name: bpy.data.objects[name].data.body for name in named.said}
    called = root.stampwright.job_name
    try:
        for name, words in named.said.items():
            bpy.data.objects[name].data.body = words
        with changes.quiet():
            root.stampwright.job_name = named.words[:100]
        bpy.context.view_layer.update()
        yield
    finally:
        for name, body in before.items():
            bpy.data.objects[name].data.body = body
        with changes.quiet():
            root.stampwright.job_name = called
        bpy.context.view_layer.update()


def pack_all(root: Object, rows: Sequence[Named], place: Path) -> list[exporting.Parcel]:
    """Return what is to be written of every row, as it is read from the scene with the row's words in it."""
    parcels = []
    for named in rows:
        with saying(root, named):
            (parcel,) = exporting.pack([root], place)
        parcels.append(replace(parcel, name=f"row {named.row}, {named.words}", folder=place / named.folder))
    return parcels


def write_all(parcels: Sequence[exporting.Parcel], *, overwrite: bool, tell: Progress) -> TableWritten:
    """Write the stamps one after the other; what stands against one does not keep the others from being written.

    Raises whatever ``tell`` raises; what is written by then stays.
    """
    folders, told = [], []
    for done, parcel in enumerate(parcels):

        def within(step: str, share: float, parcel: exporting.Parcel = parcel, done: int = done) -> None:
            tell(f"{parcel.name}: {step}", (done + share) / len(parcels))

        try:
            exporting.write([parcel], overwrite=overwrite, tell=within)
        except Cancelled:
            raise
        except StampwrightError as error:
            told.append(f"{parcel.name}: {error}")
        else:
            folders.append(parcel.folder)
    return TableWritten(tuple(folders), tuple(told))


def start(root: Object, parcels: Sequence[exporting.Parcel], *, overwrite: bool) -> LiveTask:
    """Begin to write beside Blender, for the stamp that is worked on."""
    return exporting.begin(root, WritingAll(lambda tell: write_all(parcels, overwrite=overwrite, tell=tell)))


class WritingAll(LiveTask):
    """The stamps of a table, as they say how it came out."""

    failed, stopped = "The stamps could not be written", "Stopped; stamps that were written stay"


def told_of(written: TableWritten, bad: Sequence[str], place: Path) -> tuple[str, list[Any]]:
    """Return what to tell of all of them, and the lines of those that were not written."""
    return f"{len(written.folders)} stamps in {place}", [*bad, *written.told]
