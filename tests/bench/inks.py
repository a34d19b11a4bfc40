"""Times a set of two inks of 3,000 points each beside one stamp of 3,000, from the drawing to the last file.

With ``--cpu`` the processor's time is told instead of the clock's. The bar: at most 2.2 times.
"""

from __future__ import annotations

import math
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from time import perf_counter, process_time

import shapely
from stampwright.artwork import read_artwork
from stampwright.job import Job
from stampwright.sets import coloured_of, make_set_files, proposed_job
from stampwright.workshop import fitted_size, make_files

POINTS, BAR = 3_000, 2.2

clock = process_time if "--cpu" in sys.argv else perf_counter

JOB = Job().with_value("layout.size_by", "fit")


def main() -> None:
    """Measure and print the table."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        wave = _wave(16.0)
        alone, both = folder / "one.svg", folder / "two.svg"
        alone.write_text(_page(f'<path d="{wave}" fill="#1f6b3a"/>'))
        # What lies round the wave has its points and those of a plain ring.
        ground = f'<circle cx="25" cy="25" r="22" fill="#f2c230"/><path d="{wave}" fill="#1f6b3a"/>'
        both.write_text(_page(ground))
        one, two = _least_of(
            lambda at: _make_one(alone, folder / f"one-{at}"), lambda at: _make_two(both, folder / f"two-{at}")
        )
    print(f"one ink {one:6.2f} s\ntwo inks {two:6.2f} s, {two / one:.2f} times; the bar is {BAR:g}")


def _make_one(path: Path, folder: Path) -> None:
    artwork = read_artwork(path, fitted_to=fitted_size(JOB))
    stamp, written = make_files(JOB, artwork, folder)
    assert written is not None, [finding.message for finding in stamp.blocked]
    assert shapely.get_num_coordinates(stamp.inked) > 0.9 * POINTS


def _make_two(path: Path, folder: Path) -> None:
    coloured = coloured_of(JOB, str(path))
    made, written = make_set_files(proposed_job(JOB, coloured), coloured, folder)
    assert written is not None, [finding.message for finding in made.blocked]
    assert min(shapely.get_num_coordinates(each.region) for each in made.separations) > 0.9 * POINTS


def _least_of(*makes: Callable[[int], None], repeats: int = 5) -> list[float]:
    """Return the least seconds that making each of some things took, by turns, the first time left aside."""
    best = [math.inf] * len(makes)
    for at in range(repeats + 1):
        for number, make in enumerate(makes):
            start = clock()
            make(at)
            if at:
                best[number] = min(best[number], clock() - start)
    return best


def _wave(radius: float) -> str:
    turns = (2 * math.pi * at / POINTS for at in range(POINTS))
    spots = ((turn, radius + 1.5 * math.sin(23 * turn)) for turn in turns)
    return "M" + "L".join(f"{25 + r * math.cos(turn):.4f} {25 + r * math.sin(turn):.4f}" for turn, r in spots) + "Z"


def _page(body: str) -> str:
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" viewBox="0 0 50 50">{body}</svg>'


if __name__ == "__main__":
    main()
