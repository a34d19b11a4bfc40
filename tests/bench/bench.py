"""Times every stage on five pieces of art, beside the bare solid kernel and a peer that extrudes outlines.

Each piece runs in a process of its own, so that its peak memory is its own; the peers run in the same process right
after it, on the outlines that the die was made from. With ``--cpu`` it tells the processor's time instead of the
clock's: on a machine that is busy with other work that is the fairer of the two.
"""

from __future__ import annotations

import json
import os
import platform
import subprocess
import sys
import tempfile
import warnings
from collections import defaultdict
from importlib.metadata import version
from itertools import pairwise
from math import log
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

from pieces import SIZES, write_piece

REPEATS = {100: 7, 1_000: 7, 3_000: 7, 30_000: 3, 100_000: 3}

clock = process_time if "--cpu" in sys.argv else perf_counter

FIRST_LARGE = 3_000
"""Growth is judged from here on: below, fixed costs hide it."""


def main() -> None:
    """Measure each piece and print the table."""
    times = "processor times" if clock is process_time else "times"
    print(f"{_machine()}\nmedian {times} of {', '.join(str(REPEATS[size]) for size in SIZES)} runs\n", flush=True)
    measured = []
    for size in SIZES:
        print(f"measuring {size:,} points ...", file=sys.stderr, flush=True)
        child = subprocess.run(
            [sys.executable, __file__, str(size), *sys.argv[1:]], stdout=subprocess.PIPE, text=True, check=True
        )
        measured.append(json.loads(child.stdout.splitlines()[-1]))
    _print_stages(measured)
    _print_peers(measured)
    _print_growth(measured)


def measure(size: int) -> dict[str, object]:
    """Return what one piece took, in seconds and MiB."""
    from stampwright.job import Job
    from stampwright.preflight import KINDS

    # Art this fine has findings; the bench wants the stamp all the same.
    job = Job().with_value("preflight.accept", list(KINDS))
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _make(job, write_piece(SIZES[0], folder), folder)
        path = write_piece(size, folder)
        started = _peak_memory()
        runs: dict[str, list[float]] = defaultdict(list)
        for _ in range(REPEATS[size]):
            stamp, seconds = _make(job, path, folder)
            for stage, took in seconds.items():
                runs[stage].append(took)
    peak = _peak_memory()
    peers, verdicts = _measure_peers(stamp, REPEATS[size])
    return {
        "points": sum(len(ring.coords) - 1 for part in stamp.inked.geoms for ring in (part.exterior, *part.interiors)),
        "stages": {stage: median(took) for stage, took in runs.items()},
        "memory": peak,
        "memory before": started,
        "triangles": len(stamp.die.triangles),
        "peers": peers,
        "verdicts": verdicts,
    }


def _make(job, path: Path, folder: Path):
    """Read a piece, make its stamp and write it; return the stamp and the seconds of each stage, in order."""
    from stampwright import read_artwork
    from stampwright.workshop import make_files

    marks: list[tuple[str, float]] = [("read", clock())]
    artwork = read_artwork(path)
    stamp, _ = make_files(
        job, artwork, folder / "out", overwrite=True, progress=lambda step, _: marks.append((step, clock()))
    )
    marks.append(("", clock()))
    seconds: dict[str, float] = defaultdict(float)
    for (stage, begun), (_, ended) in pairwise(marks):
        seconds[stage] += ended - begun
    seconds["whole"] = marks[-1][1] - marks[0][1]
    return stamp, seconds


def _measure_peers(stamp, repeats: int) -> tuple[dict[str, float], dict[str, str]]:
    """Time the die and its peers by turns on the same outlines, and let the peer's library judge the solids of both."""
    import trimesh
    from stampwright.face import shape_die
    from stampwright.parts import build_die

    job, inked, base = stamp.job, stamp.inked, stamp.layout.base
    height = job.die.relief + job.die.dressing
    works = {
        "die": lambda: build_die(shape_die(inked, base, job.die, job.backing, layer=job.printer.layer)),
        "bare kernel": lambda: _bare_kernel(inked, base, job.die.floor, height),
        "trimesh": lambda: _peer(inked, height),
    }
    took: dict[str, list[float]] = {name: [] for name in works}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for _ in range(repeats):
            for name, work in works.items():
                begun = clock()
                made = work()
                took[name].append(clock() - begun)
    die = trimesh.Trimesh(stamp.die.vertices, stamp.die.triangles, process=False)
    tight = sum(bool(solid.is_watertight) for solid in made)
    verdicts = {"die": "yes" if die.is_watertight else "NO", "trimesh": f"{tight} of {len(made)}"}
    return {name: median(seconds) for name, seconds in took.items()}, verdicts


def _bare_kernel(inked, base, floor: float, height: float):
    """Extrude ink and floor straight up and unite them, with nothing but the kernel's own calls."""
    import manifold3d
    import numpy as np

    def rings(parts):
        return [np.asarray(ring.coords)[:-1] for part in parts for ring in (part.exterior, *part.interiors)]

    relief = manifold3d.CrossSection(rings(inked.geoms), manifold3d.FillRule.EvenOdd).extrude(height)
    plate = manifold3d.CrossSection(rings([base]), manifold3d.FillRule.EvenOdd).extrude(floor)
    # The kernel works when it is asked for the mesh, not before.
    return (relief.translate((0, 0, floor)) + plate).to_mesh64()


def _peer(inked, height: float):
    import trimesh

    return [trimesh.creation.extrude_polygon(part, height, engine="earcut") for part in inked.geoms]


def _peak_memory() -> float:
    """Return the most memory that this process has held, MiB; 0 where the system does not say."""
    try:
        import resource
    except ImportError:
        return 0.0
    held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return held / (1024 * 1024 if sys.platform == "darwin" else 1024)


def _print_stages(measured: list[dict]) -> None:
    names = list(dict.fromkeys(stage for piece in measured for stage in piece["stages"]))
    _row("outline points", [f"{piece['points']:,}" for piece in measured])
    _row("triangles of the die", [f"{piece['triangles']:,}" for piece in measured])
    print()
    for name in [*(name for name in names if name != "whole"), "whole"]:
        _row(f"{name}, ms", [_ms(piece["stages"].get(name)) for piece in measured])
    _row("peak memory, MiB", [f"{piece['memory']:.0f}" for piece in measured])
    _row("  of it before the piece", [f"{piece['memory before']:.0f}" for piece in measured])


def _print_peers(measured: list[dict]) -> None:
    print("\nThe same outlines, by turns in the same run")
    for name in measured[0]["peers"]:
        _row(f"{name}, ms", [_ms(piece["peers"][name]) for piece in measured])
    for name in ("bare kernel", "trimesh"):
        _row(f"die / {name}", [f"{piece['peers']['die'] / piece['peers'][name]:.2f}" for piece in measured])
    for name in measured[0]["verdicts"]:
        _row(f"{name}: watertight", [piece["verdicts"][name] for piece in measured])
    print(
        "(bare kernel: extrude and union with straight flanks; trimesh: the relief alone, extruded, and its verdicts)"
    )


def _print_growth(measured: list[dict]) -> None:
    """Print how each stage grew from one piece to the next, over how n log n grew; up to 1 is as good as n log n."""
    large = [piece for piece, size in zip(measured, SIZES, strict=True) if size >= FIRST_LARGE]
    print("\nGrowth over that of n log n (1 or less: no faster)")
    _row("from, to", [f"{a['points']:,} {b['points']:,}" for a, b in pairwise(large)], width=16)
    for name in large[0]["stages"]:
        growth = []
        for less, more in pairwise(large):
            expected = more["points"] * log(more["points"]) / (less["points"] * log(less["points"]))
            growth.append(f"{more['stages'][name] / less['stages'][name] / expected:.2f}")
        _row(name, growth, width=16)


def _row(name: str, cells: list[str], width: int = 11) -> None:
    print(f"{name:<26}" + "".join(f"{cell:>{width}}" for cell in cells), flush=True)


def _ms(seconds: float | None) -> str:
    return "-" if seconds is None else f"{seconds * 1000:.1f}"


def _machine() -> str:
    packages = ", ".join(f"{name} {version(name)}" for name in ("numpy", "shapely", "manifold3d", "trimesh"))
    system = f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores"
    described = f"{system}, Python {platform.python_version()}, {packages}"
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else 0.0
    if load > 1 and clock is perf_counter:
        described += (
            f"\nother work is running (load {load:.1f}): times are too long; --cpu tells the processor's instead"
        )
    return described


if __name__ == "__main__":
    if sys.argv[1:] in ([], ["--cpu"]):
        main()
    elif sys.argv[1].isdecimal() and int(sys.argv[1]) in SIZES:
        print(json.dumps(measure(int(sys.argv[1]))))
    else:
        sys.exit("the bench takes --cpu or nothing")
