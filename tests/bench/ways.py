"""Goes through a hundred awkward drawings: how many pass by the first advice, and what it takes to find it.

    python -m tests.bench.ways [EVERY]

``EVERY``: only every so-manieth drawing. Fails when fewer than 95 % of those that are blocked pass by it.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from time import process_time

from ..conftest import ICON_FOLDERS, ROOT
from ..references.awkward import awkward_drawings, first_advice
from ..references.test_awkward_drawings import LEAST_HELPED


def main(arguments: list[str]) -> int:
    """Print a line for each drawing, and the count."""
    icons = [
        file
        for package in ("feather-icons", "@carbon/icons")
        for file in sorted((ROOT / ".build/icons/node_modules" / package / ICON_FOLDERS[package]).glob("*.svg"))
    ]
    with tempfile.TemporaryDirectory() as folder:
        drawings = awkward_drawings(Path(folder), icons)[:: int(arguments[0]) if arguments else 1]
        told = []
        for drawing in drawings:
            since = process_time()
            told.append(first_advice(drawing))
            print(f"{process_time() - since:6.1f} s  {told[-1].in_words()}", flush=True)
    blocked = [advice for advice in told if advice.blocked]
    helped = sum(advice.passes for advice in blocked)
    print(f"{len(drawings)} drawings, {len(blocked)} blocked, {helped} pass by the first advice")
    return 0 if helped >= LEAST_HELPED * len(blocked) else 1


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
