"""Feeds the readers made-up and spoiled drawings, bitmaps and jobs for as long as asked; tells what went wrong.

    python -m tests.bench.fuzz SECONDS [SEED]

The time is shared by eight kinds, each counted by itself, for a drawing costs as much as a hundred settings: drawings
by a grammar; bitmaps of every mode; drawings, pieces and bitmaps with bytes spoiled; jobs with settings changed, job
files with bytes spoiled, settings as typed, pieces as data, and tables of orders, all of these written and read again.
Each input follows from its number and the seed, so that a run on any machine gives the same ones again.
"""

from __future__ import annotations

import io
import json
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from time import process_time

from reportlab.pdfgen.canvas import Canvas
from stampwright.errors import JobError, OrderError
from stampwright.job import Job
from stampwright.job.pieces import Piece, pieces_as_data, pieces_from_data
from stampwright.job.written.files import (
    job_as_json,
    job_as_toml,
    job_from_data,
    job_from_json,
    job_from_toml,
    parse_setting,
)
from stampwright.job.written.tables import as_toml
from stampwright.orders.tables.escaping import csv_of
from stampwright.orders.tables.reading import read_orders
from stampwright.orders.tables.rows import Table

from ..conftest import ICON_FOLDERS, ROOT
from ..core.artwork.fuzzing import HEAD, Judge, pictures, spoil, spoiled
from ..references.svg_rules import RULES
from .made_up import bitmap, drawing, job_data, pieces_data, setting_typed, table_typed

PLAIN = Job()

SLICE = 200
"""Inputs between two looks at the clock."""


def main(arguments: list[str]) -> int:
    """Fuzz for so many seconds of the processor; print counts and write the first input of each fault to a file."""
    seconds, first = float(arguments[0]), int(arguments[1]) if len(arguments) > 1 else 0
    faults, total = {}, 0
    with tempfile.TemporaryDirectory() as folder:
        kinds = _kinds(Path(folder))
        for name, work in kinds.items():
            judge, took = _judged(seconds / len(kinds), lambda judge, number, work=work: work(judge, first + number))
            count = judge.read + judge.refused + judge.broken
            total += count
            print(
                f"{count:>9,} {name}: {judge.read:,} read, {judge.refused:,} refused, {count / took:,.0f} a second, "
                f"the slowest {judge.slowest:.1f} s; {judge.memory / 2**20:,.0f} MiB held; {len(judge.faults)} faults",
                flush=True,
            )
            faults |= {fault: what if isinstance(what, str) else what.hex() for fault, what in judge.faults.items()}
    print(f"{total:>9,} in all, {len(faults)} faults")
    for fault, what in faults.items():
        print(f"  {fault}: {what[:300]!r}")
    if faults:
        path = ROOT / "out" / f"faults-{first}.json"
        path.parent.mkdir(exist_ok=True)
        path.write_text(json.dumps(faults, indent=1), encoding="utf-8")
        print(f"the whole of each is in {path}")
    return int(bool(faults))


def _judged(seconds: float, work: Callable[[Judge, int], None]) -> tuple[Judge, float]:
    judge = Judge()
    begun, number = process_time(), 0
    while process_time() - begun < seconds:
        work(judge, number)
        number += 1
    return judge, process_time() - begun


def _kinds(folder: Path) -> dict[str, Callable[[Judge, int], None]]:
    """Return for each kind of input what makes and judges a slice of it."""
    art = _seeds()
    jobs = [path.read_bytes() for path in sorted((ROOT / "shared/jobs").glob("*.toml"))]
    file = folder / "orders.csv"

    def read_bitmap(judge: Judge, chance: Random) -> None:
        ending, data = bitmap(chance)
        judge.read_bytes(data, folder / f"made.{ending}")

    def read_made_job(judge: Judge, chance: Random) -> None:
        data = job_data(chance)
        judge.judge(lambda: job_from_data(data), repr(data), wrong=_changed_by_writing, refusal=JobError)

    def read_spoiled_job(judge: Judge, chance: Random) -> None:
        text = spoiled(chance.choice(jobs), chance).decode("utf-8", "replace")
        judge.judge(lambda: job_from_toml(text), text, wrong=_changed_by_writing, refusal=JobError)

    def read_setting(judge: Judge, chance: Random) -> None:
        typed = setting_typed(chance)
        judge.judge(lambda: _set(typed), typed, wrong=_setting_changed, refusal=JobError)

    def read_pieces(judge: Judge, chance: Random) -> None:
        data = pieces_data(chance)
        judge.judge(lambda: pieces_from_data(data), repr(data), wrong=_pieces_changed, refusal=JobError)

    def read_table(judge: Judge, chance: Random) -> None:
        data = table_typed(chance)
        file.write_bytes(data)
        judge.allowed = file
        judge.judge(
            lambda: read_orders(file), data, wrong=lambda table: _table_changed(table, file), refusal=OrderError
        )

    one_by_one = {
        "drawings": lambda judge, chance: judge.read_text(drawing(chance)),
        "bitmaps": read_bitmap,
        "jobs": read_made_job,
        "spoiled job files": read_spoiled_job,
        "settings": read_setting,
        "pieces": read_pieces,
        "tables of orders": read_table,
    }
    sliced = {name: _in_slices(read) for name, read in one_by_one.items()}
    return {**sliced, "spoiled files of art": lambda judge, number: spoil(art, SLICE, number, folder, judge)}


def _in_slices(read: Callable[[Judge, Random], None]) -> Callable[[Judge, int], None]:
    def read_slice(judge: Judge, number: int) -> None:
        for chance in _chances(number):
            read(judge, chance)

    return read_slice


def _chances(number: int) -> Iterator[Random]:
    return (Random(number * SLICE + at) for at in range(SLICE))


def _changed_by_writing(job: Job) -> str | None:
    """Return what is wrong with a job: that it is another one once written and read again."""
    if job_from_json(job_as_json(job)) != job:
        return "a job is another one read back from JSON"
    return "a job is another one read back from TOML" if job_from_toml(job_as_toml(job)) != job else None


def _set(typed: str) -> tuple[str, Job]:
    path, value = parse_setting(typed)
    return path, PLAIN.with_value(path, value)


def _setting_changed(found: tuple[str, Job]) -> str | None:
    """Return what is wrong with a setting: that it is another one once written and read again."""
    path, job = found
    section, _, name = path.rpartition(".")
    held = getattr(getattr(job, section) if section else job, name)
    lines = [f"[{section}]"] if section else []
    again = job_from_toml("\n".join([*lines, f"{name} = {as_toml(list(held) if isinstance(held, tuple) else held)}"]))
    return None if again == job else "a setting is another one read back from TOML"


def _pieces_changed(pieces: tuple[Piece, ...]) -> str | None:
    return None if pieces_from_data(pieces_as_data(pieces)) == pieces else "pieces are others read back from their data"


def _table_changed(table: Table, file: Path) -> str | None:
    """Return what is wrong with a table: that its rows are others once written and read again, or a fault ill told."""
    if any("\n" in str(fault) or not str(fault).isprintable() for fault in table.faults):
        return "a fault that is not told in a line"
    if not table.rows or not table.columns:
        return None
    filled = [[row.cells.get(column, "") for column in table.columns] for row in table.rows]
    rows = [cells for cells in filled if any(cell.strip() for cell in cells)]
    if not rows:
        return None
    file.write_bytes(csv_of(table.columns, rows))
    again = [list(row.cells.values()) for row in read_orders(file).rows]
    # What a spreadsheet would reckon is written as text, with an apostrophe before it.
    same = [[read.removeprefix("'") for read in cells] for cells in again] == [
        [cell.removeprefix("'") for cell in cells] for cells in rows
    ]
    return None if same else "rows of orders are others read back from a table of ours"


def _seeds() -> list[tuple[str, bytes]]:
    artwork = [path for path in sorted((ROOT / "shared/artwork").iterdir()) if path.suffix in {".svg", ".toml"}]
    rules = [("svg", HEAD.format('width="100" height="100"', body).encode()) for _, body, *_ in RULES.values()]
    icons: list[Path] = []
    for package, inside in ICON_FOLDERS.items():
        found = sorted((ROOT / ".build/icons/node_modules" / package / inside).glob("*.svg"))
        icons += found[:: max(1, len(found) // 60)]
    files = [(path.suffix[1:], path.read_bytes()) for path in (*artwork, *icons)]
    return [*files, *rules, *(5 * list(pictures().items())), *(5 * [("pdf", _page())])]


def _page() -> bytes:
    """Return a PDF with an outline, a line of text and a clip, not packed, so that spoiling reaches all of it."""
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(100, 100), pageCompression=0)
    path = canvas.beginPath()
    path.circle(50, 50, 40)
    canvas.clipPath(path, stroke=0)
    canvas.rect(10, 10, 50, 60, fill=1)
    canvas.drawString(20, 80, "Seeds")
    canvas.save()
    return stream.getvalue()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
