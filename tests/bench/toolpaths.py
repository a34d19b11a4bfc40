"""Times toolpaths: a small die, 100 MB of G-code of one large die, and of many, beside the most memory that each took.

With a path, that file is examined instead; with ``one`` or ``many`` and a number, so many MB of that.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
from dataclasses import replace
from pathlib import Path
from time import perf_counter

import numpy as np
import shapely
import stampwright
from stampwright.toolpaths import examine_toolpath, expected_of, read_gcode

from ..core.toolpaths.conftest import ART
from ..core.toolpaths.dies import JOB
from ..core.toolpaths.slicing import Path as Bead
from ..core.toolpaths.slicing import moved, slice_mesh, write

LARGE = 100_000_000
"""Bytes of the large file."""

RINGS = "".join(
    f'<circle cx="45" cy="45" r="{radius}" fill="none" stroke="black" stroke-width="1.2"/>'
    for radius in range(3, 44, 3)
)
"""What the large die prints."""

PITCH = 30.0
"""Distance of the dies on the large plate, mm."""


def main() -> None:
    """Measure and print; each in a process of its own, as the most memory is that of a process."""
    match sys.argv[1:]:
        case []:
            for sort in ("one", "many"):
                subprocess.run([sys.executable, "-m", __spec__.name, sort, str(LARGE // 1_000_000)], check=True)
        case ["one" | "many" as sort, size]:
            _time_large(sort, 1_000_000 * int(size))
        case [path]:
            _time(Path(path), None)


def _time_large(sort: str, size: int) -> None:
    """Time the small die and a large file: of ``one`` die in the finest moves, or of ``many``."""
    with tempfile.TemporaryDirectory() as folder:
        drawing, small, large = (Path(folder) / name for name in ("drawn.svg", "small.gcode", "large.gcode"))
        art, job = (ART, JOB) if sort == "many" else (RINGS, JOB | {"base.width": 94.0, "base.height": 94.0})
        page = "20 14" if sort == "many" else "90 90"
        wide, high = page.split()
        head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {page}">'
        drawing.write_text(f"{head}{art}</svg>", encoding="utf-8")
        stamp = stampwright.make_stamp(stampwright.Job().with_values(job), stampwright.read_artwork(drawing))
        paths = slice_mesh(stamp.die)
        small.write_bytes(write(paths))
        _time(small, stamp)
        number = 1
        if sort == "one":
            # The text of a move takes some 34 bytes.
            step = sum(_length(path) for path in paths) / (size / 34)
            large.write_bytes(write([_cut(path, step) for path in paths]))
        else:
            with large.open("wb") as stream:
                number = 0
                while stream.tell() < size:
                    x, y = PITCH * (number % 60), PITCH * (number // 60)
                    stream.write(write([moved(path, x, y) for path in paths]))
                    number += 1
        print(f"{number} dies on one plate:" if number > 1 else "one die:")
        _time(large, stamp)


def _length(path: Bead) -> float:
    return float(shapely.LineString(path.points).length)


def _cut(path: Bead, step: float) -> Bead:
    """Return a path in steps that waver by a micrometre, so that none is straight."""
    points = shapely.get_coordinates(shapely.segmentize(shapely.LineString(path.points), step))
    points[1:-1] += 0.001 * np.sin(np.arange(1, len(points) - 1) * 2.1)[:, None]
    return replace(path, points=tuple(map(tuple, points.tolist())))


def _time(path: Path, stamp: stampwright.Stamp | None) -> None:
    expected = None if stamp is None else expected_of(stamp)
    start = perf_counter()
    toolpath = read_gcode(path)
    read = perf_counter()
    examined = examine_toolpath(toolpath, expected)
    end = perf_counter()
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    print(
        f"{path.stat().st_size / 1e6:8.1f} MB, {len(toolpath.moves):,} moves: read {read - start:.2f} s, examined "
        f"{end - read:.2f} s, {len(examined.findings)} findings; {memory:.0f} MB of memory at most"
    )


if __name__ == "__main__":
    main()
