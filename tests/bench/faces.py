"""Times a face of a million points: raised, shaped by a height map, and read back after brushes have been at it.

With ``--cpu`` the processor's time is told instead of the clock's.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from time import perf_counter, process_time
from typing import TypeVar

import numpy as np
from shapely.geometry import MultiPolygon, Point, box
from stampwright.face import GRAINS, DenseDie, FaceMap, read_sculpt, untouched
from stampwright.job import Job
from stampwright.solids import check_soundness

from ..core.stages import dense_die

FINENESS = 10.75
"""Points to a line of 0.4 mm that make a million of a plate of 38 mm by 38 mm with a hole."""

clock = process_time if "--cpu" in sys.argv else perf_counter

Made = TypeVar("Made")


def main() -> None:
    """Measure and print the table."""
    face = MultiPolygon([box(-19, -19, 19, 19).difference(Point(3, 3).buffer(4))])
    job = Job().with_value("face.fineness", FINENESS)
    bare = timed("raise the die with a dense face", lambda: dense_die(job, face, Point(0, 0).buffer(30)), repeats=1)
    print(f"    {np.count_nonzero(bare.movable):,} points on the face, {len(bare.solid.triangles):,} triangles in all")
    blank = untouched((-20.0, -20.0, 20.0, 20.0), bare.spacing)
    for name, grain in GRAINS.items():
        timed(f"make {name}", lambda grain=grain: grain.depth_at(blank.samples, 2.0, 1), repeats=1)
    x, y = blank.samples.T
    waves = (-0.3 + 0.25 * np.sin(2 * x) * np.cos(3 * y)).astype(np.float32).reshape(blank.heights.shape)
    borne = timed("apply a height map", lambda: bare.bearing(None, FaceMap(waves, blank.corner, blank.spacing)))
    assert check_soundness(borne.solid.vertices, borne.solid.triangles).sound
    timed("read back, moved up and down", lambda: read_sculpt(bare, borne.solid.vertices))
    for told, radius in (("a seventh", 8.0), ("all", 100.0)):
        vertices = dragged(borne, radius)
        timed(f"read back, {told} of it dragged too", lambda vertices=vertices: read_sculpt(bare, vertices))


def dragged(die: DenseDie, radius: float) -> np.ndarray:
    """Return the die's vertices with those of its face, within a circle, dragged along the paper by chance."""
    vertices = die.solid.vertices.copy()
    near = np.flatnonzero(die.movable & (np.hypot(vertices[:, 0], vertices[:, 1]) < radius))
    vertices[near, :2] += np.random.default_rng(1).uniform(-0.3, 0.3, (len(near), 2)) * die.spacing
    return vertices


def timed(what: str, make: Callable[[], Made], *, repeats: int = 3) -> Made:
    """Make something a few times, print the least seconds that it took, and return it."""
    best, made = np.inf, make()
    for _ in range(repeats):
        start = clock()
        made = make()
        best = min(best, clock() - start)
    print(f"{what:40} {best:6.2f} s")
    return made


if __name__ == "__main__":
    main()
