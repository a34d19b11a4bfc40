"""Feeds the readers made-up drawings and spoiled files for as long as asked, and tells what went wrong.

    python -m tests.bench.fuzz SECONDS [SEED]

Half of the time goes to drawings by a grammar, half to files with bytes spoiled: the demo artwork, the drawings of the
rules, icons, and a bitmap of each format.
"""

from __future__ import annotations

import json
import sys
import tempfile
from pathlib import Path
from time import process_time

from hypothesis import HealthCheck, given, seed, settings

from ..conftest import ICON_FOLDERS, ROOT
from ..core.artwork.fuzzing import HEAD, Judge, drawings, pictures, spoil
from ..references.svg_rules import RULES

SLICE = 500
"""Inputs between two looks at the clock."""


def main(arguments: list[str]) -> int:
    """Fuzz for so many seconds of the processor; print counts and write the first input of each fault to a file."""
    seconds, first = float(arguments[0]), int(arguments[1]) if len(arguments) > 1 else 0
    made = _judged(seconds / 2, lambda judge, number: _make_drawings(judge, first + number))
    seeds = _seeds()
    with tempfile.TemporaryDirectory() as folder:
        spoilt = _judged(seconds / 2, lambda judge, number: spoil(seeds, SLICE, first + number, Path(folder), judge))
    faults = {}
    for name, judge in (("drawings", made), ("spoiled files", spoilt)):
        print(
            f"{judge.read + judge.refused:,} {name}: {judge.read:,} read, {judge.refused:,} refused, the slowest took "
            f"{judge.slowest:.1f} s; {judge.memory / 2**20:,.0f} MiB held; {len(judge.faults)} faults",
            flush=True,
        )
        faults |= {fault: what if isinstance(what, str) else what.hex() for fault, what in judge.faults.items()}
    for fault, what in faults.items():
        print(f"  {fault}: {what[:300]!r}")
    if faults:
        path = ROOT / "out" / f"faults-{first}.json"
        path.parent.mkdir(exist_ok=True)
        path.write_text(json.dumps(faults, indent=1), encoding="utf-8")
        print(f"the whole of each is in {path}")
    return int(bool(faults))


def _judged(seconds, work) -> Judge:
    judge = Judge()
    begun, number = process_time(), 0
    while process_time() - begun < seconds:
        work(judge, number)
        number += 1
    return judge


def _make_drawings(judge: Judge, number: int) -> None:
    @seed(number)
    @settings(max_examples=SLICE, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(drawings())
    def read(text):
        judge.read_text(text)

    read()


def _seeds() -> list[tuple[str, bytes]]:
    artwork = [path for path in sorted((ROOT / "shared/artwork").iterdir()) if path.suffix in {".svg", ".toml"}]
    rules = [("svg", HEAD.format('width="100" height="100"', body).encode()) for _, body in RULES.values()]
    icons: list[Path] = []
    for package, inside in ICON_FOLDERS.items():
        found = sorted((ROOT / ".build/icons/node_modules" / package / inside).glob("*.svg"))
        icons += found[:: max(1, len(found) // 60)]
    files = [(path.suffix[1:], path.read_bytes()) for path in (*artwork, *icons)]
    return [*files, *rules, *(5 * list(pictures().items()))]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
