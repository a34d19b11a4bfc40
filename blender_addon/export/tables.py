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
from ..stampwright.errors import OutputError, StampwrightError
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


class TableOfStamps:
    """The stamps of a table, one row after the other: each is read from the scene when its turn comes.

    ``bad``: lines of rows that are none. Rows have in common what is known of the stamp, so that parts which are the
    same for all are built once.
    """

    def __init__(
        self, root: Object, rows: Sequence[Named], bad: Sequence[str], place: Path, *, overwrite: bool
    ) -> None:
        self.place = place
        self.written: list[Path] = []
        self.there: list[Path] = []
        self.told = list(bad)
        self._root, self._overwrite = root.name, overwrite
        self._waiting, self._count = list(reversed(rows)), max(len(rows), 1)
        self._memory: Any = None
        self._parcel: exporting.Parcel | None = None

    @property
    def share(self) -> float:
        """Share of the rows that are done."""
        return 1.0 - (len(self._waiting) + (self._parcel is not None)) / self._count

    def next_row(self) -> Named | None:
        """Return the row whose turn it is, and count it as begun; None after the last."""
        return self._waiting.pop() if self._waiting else None

    def pack(self, named: Named) -> exporting.Parcel | None:
        """Return what is to be written of a row, read from the scene; None where it is there already, or cannot be."""
        root = bpy.data.objects[self._root]
        try:
            with saying(root, named):
                (parcel,) = exporting.pack([root], self.place)
        except StampwrightError as error:
            self.told.append(f"{_called(named)}: {error}")
            return None
        self._memory = self._memory or parcel.memory
        parcel = replace(parcel, name=_called(named), folder=self.place / named.folder, memory=self._memory)
        if is_there(parcel):
            self.there.append(parcel.folder)
            return None
        self._parcel = parcel
        return parcel

    def write(self, tell: Progress) -> Path:
        """Write the parcel that was packed last, and by what it is known again; raises what writing raises."""
        parcel = self._parcel
        if parcel is None:
            raise OutputError("There is nothing to write")
        before = self.share
        exporting.write(
            [parcel],
            overwrite=self._overwrite,
            tell=lambda step, share: tell(f"{parcel.name}: {step}", before + share / self._count),
        )
        keep_record(parcel)
        return parcel.folder

    def came_out(self, folder: Path | None, error: StampwrightError | None = None) -> None:
        """Note how it came out with the row that was packed last."""
        name = "" if self._parcel is None else self._parcel.name
        self._parcel = None
        if folder is not None:
            self.written.append(folder)
        elif error is not None:
            self.told.append(f"{name}: {error}")

    def in_short(self, *, stopped: bool = False) -> str:
        """Say how many stamps are written and where, and what to do for the rest when it was stopped."""
        there = f", {len(self.there)} of them before" if self.there else ""
        count = len(self.written) + len(self.there)
        told = f"{count} stamp{'' if count == 1 else 's'} in {self.place}{there}"
        return f"Stopped: {told}; run again for the rest" if stopped else told


def _called(named: Named) -> str:
    return f"row {named.row}, {named.words}"


def _fingerprint(parcel: exporting.Parcel) -> str:
    program = loading.load("stampwright.orders.making.fingerprints").program_fingerprint()
    return f"{parcel.order.fingerprint} {program}"


def is_there(parcel: exporting.Parcel) -> bool:
    """Whether a parcel's folder has its very stamp, whole."""
    record_room = loading.load("stampwright.orders.making.record")
    digest_at = loading.load("stampwright.files.whole").digest_at
    try:
        record = record_room.record_from((parcel.folder / record_room.FILE).read_bytes())
    except OSError:
        return False
    return (
        record is not None
        and record.fingerprint == _fingerprint(parcel)
        and all(digest_at(parcel.folder / name) == digest for name, digest in record.files.items())
    )


def keep_record(parcel: exporting.Parcel) -> None:
    """Write by what a stamp is known again into its folder; raises :class:`OutputError` when it cannot be written."""
    record_room = loading.load("stampwright.orders.making.record")
    files = loading.load("stampwright.files.whole")
    names = loading.load("stampwright.output").RESULT_FILES
    digests = {name: digest for name in names if (digest := files.digest_at(parcel.folder / name))}
    record = record_room.Record("made", _fingerprint(parcel), files=digests)
    files.write_file(parcel.folder / record_room.FILE, record_room.record_bytes(record), overwrite=True)


def start(root: Object, table: TableOfStamps) -> LiveTask:
    """Begin to write the parcel that was packed last beside Blender, for the stamp that is worked on."""
    return exporting.begin(root, WritingRow(table.write))


class WritingRow(LiveTask):
    """A row's stamp, as it says how it came out."""

    failed, stopped = "The stamp could not be written", "Stopped; nothing of it was written"
