"""Times how soon the program answers: importing the library, and help, which loads nothing that works."""

from __future__ import annotations

import subprocess
import sys
from statistics import median
from time import perf_counter

RUNS = 15

STARTS = {
    "Python alone": (["-c", ""], None),
    "import stampwright": (["-c", "import stampwright"], 0.050),
    "stampwright --help": (["-m", "stampwright", "--help"], 0.200),
    "stampwright make --help": (["-m", "stampwright", "make", "--help"], 0.200),
    "stampwright settings": (["-m", "stampwright", "settings"], None),
}
"""What is started, and how soon it should have answered on an idle core, s; for commands with Python's own start."""


def main() -> None:
    """Measure by turns, so that what else the machine does falls on all alike, and print the table."""
    took: dict[str, list[float]] = {name: [] for name in STARTS}
    for _ in range(RUNS):
        for name, (arguments, _) in STARTS.items():
            begun = perf_counter()
            subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, check=True)
            took[name].append(perf_counter() - begun)
    bare = min(took["Python alone"])
    print(f"From start to answer, ms: median and least of {RUNS}\n")
    for name, (_, wanted) in STARTS.items():
        off = bare if name.startswith("import") else 0.0
        aim = f"{1000 * wanted:6.0f} wanted" if wanted is not None else ""
        print(f"{name:>24} {1000 * (median(took[name]) - off):6.0f} {1000 * (min(took[name]) - off):6.0f} {aim}")


if __name__ == "__main__":
    main()
