"""Times toolpaths: 100 MB of G-code, read and examined, and a small die, beside the most memory that it took.

With a path, that file is examined instead.
"""

from __future__ import annotations

import resource
import sys
import tempfile
from pathlib import Path
from time import perf_counter

import stampwright
from stampwright.toolpaths import examine_toolpath, expected_of, read_gcode

from ..core.toolpaths.conftest import ART, JOB
from ..core.toolpaths.slicing import moved, slice_mesh, write

LARGE = 100_000_000
"""Bytes of the large file."""

PITCH = 30.0
"""Distance of the dies on the large plate, mm."""


def main() -> None:
    """Measure and print."""
    if sys.argv[1:]:
        _time(Path(sys.argv[1]), None)
        return
    with tempfile.TemporaryDirectory() as folder:
        drawing, small, large = (Path(folder) / name for name in ("small.svg", "small.gcode", "large.gcode"))
        drawing.write_text(ART, encoding="utf-8")
        stamp = stampwright.make_stamp(stampwright.Job().with_values(JOB), stampwright.read_artwork(drawing))
        paths = slice_mesh(stamp.die)
        small.write_bytes(write(paths))
        _time(small, stamp)
        with large.open("wb") as stream:
            number = 0
            while stream.tell() < LARGE:
                x, y = PITCH * (number % 60), PITCH * (number // 60)
                stream.write(write([moved(path, x, y) for path in paths]))
                number += 1
        print(f"{number} dies on one plate:")
        _time(large, stamp)


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
