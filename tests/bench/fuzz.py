"""Feeds the readers made-up and spoiled drawings, bitmaps and jobs for as long as asked; tells what went wrong.

    python -m tests.bench.fuzz SECONDS [SEED]

The time is shared by five kinds: drawings by a grammar; bitmaps of every mode; jobs with settings changed, written and
read again; drawings, pieces and bitmaps with bytes spoiled; job files with bytes spoiled. Each input follows from its
number and the seed, so that a run on any machine gives the same ones again.
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
from stampwright.errors import JobError
from stampwright.job import Job
from stampwright.job.written.files import job_as_json, job_as_toml, job_from_data, job_from_json, job_from_toml

from ..conftest import ICON_FOLDERS, ROOT
from ..core.artwork.fuzzing import HEAD, Judge, pictures, spoil, spoiled
from ..references.svg_rules import RULES
from .made_up import bitmap, drawing, job_data

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
            count = judge.read + judge.refused + len(judge.faults)
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

    def drawings(judge: Judge, number: int) -> None:
        for chance in _chances(number):
            judge.read_text(drawing(chance))

    def bitmaps(judge: Judge, number: int) -> None:
        for chance in _chances(number):
            ending, data = bitmap(chance)
            judge.read_bytes(data, folder / f"made.{ending}")

    def made_jobs(judge: Judge, number: int) -> None:
        for chance in _chances(number):
            data = job_data(chance)
            judge.judge(lambda data=data: job_from_data(data), repr(data), wrong=_changed_by_writing, refusal=JobError)

    def spoiled_jobs(judge: Judge, number: int) -> None:
        for chance in _chances(number):
            text = spoiled(chance.choice(jobs), chance).decode("utf-8", "replace")
            judge.judge(lambda text=text: job_from_toml(text), text, wrong=_changed_by_writing, refusal=JobError)

    return {
        "drawings": drawings,
        "bitmaps": bitmaps,
        "jobs": made_jobs,
        "spoiled files of art": lambda judge, number: spoil(art, SLICE, number, folder, judge),
        "spoiled job files": spoiled_jobs,
    }


def _chances(number: int) -> Iterator[Random]:
    return (Random(number * SLICE + at) for at in range(SLICE))


def _changed_by_writing(job: Job) -> str | None:
    """Return what is wrong with a job: that it is another one once written and read again."""
    if job_from_json(job_as_json(job)) != job:
        return "a job is another one read back from JSON"
    return "a job is another one read back from TOML" if job_from_toml(job_as_toml(job)) != job else None


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
