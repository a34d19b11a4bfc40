"""Times what bending costs: a die of 30,000 points, and a rocker and a roller edited live at 3,000 points.

Of a rocker, edits of its settings are timed, too.

With ``--cpu`` the processor's time is told instead of the clock's.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from time import perf_counter, process_time
from typing import TypeVar

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Point
from stampwright.artwork import Artwork
from stampwright.curved import Bend, bend_die, unroll
from stampwright.job import Job
from stampwright.memory import Memory
from stampwright.solids import ReliefHeights, raise_relief
from stampwright.workshop import make_stamp

Made = TypeVar("Made")

clock = process_time if "--cpu" in sys.argv else perf_counter

BENT, LIVE = 0.150, 0.120
"""What is aimed at, s: bending 30,000 points, and an edit at 3,000 points until die and backing are there again."""


LIVE_EDITS = {
    "die.relief": (2.0, 2.2),
    "die.shoulder": (15.0, 16.0),
    "bend.radius": (60.0, 62.0),
    "handle.height": (40.0, 41.0),
    "ink.spread": (0.1, 0.12),
}
"""Settings that are edited back and forth."""


def main() -> None:
    """Measure and print the tables."""
    print(f"seconds ({clock.__name__}), best of five; aimed at: {BENT:g} to bend 30,000 points, {LIVE:g} for an edit")
    print(f"\n{'points':>8} {'raise':>7} {'bend':>7} {'unroll':>7}  vertices before and after, on a radius of 60 mm")
    for points in (3_000, 10_000, 30_000):
        _bend(points)
    print(f"\n{'edited live':>24} {'flat':>15} {'rocker':>15} {'roller':>15}   die and backing, and all of the stamp")
    for points in (1_000, 3_000):
        art = rosettes(points)
        moved = rosettes(points, turn=3.0)
        forms = ("flat", "rocker", "roller")
        times = [_edited(Job().with_values({"bend.form": form, "bend.band": 50.0}), art, moved) for form in forms]
        told = " ".join(f"{seen:7.3f} {whole:7.3f}" for seen, whole in times)
        print(f"{points:>17,} points {told}")
    print("\na rocker of 3,000 points, whichever setting is edited live: die and backing, and all of the stamp")
    rocker, art = Job().with_values({"bend.form": "rocker", "bend.band": 50.0}), rosettes(3_000)
    for path, values in LIVE_EDITS.items():
        seen, whole = _edited_between([(rocker.with_value(path, value), art) for value in values])
        print(f"{path:>24} {seen:7.3f} {whole:7.3f}")


def _bend(points: int) -> None:
    base = Point(0, 0).buffer(25, quad_segs=40)
    heights = ReliefHeights(floor=2.0, face=4.0, top=4.2, chamfer=0.4)
    face = rosettes(points).inked
    raised, flat = best(lambda: raise_relief(face, base, heights, shoulder=15.0, name="die"))
    bend = Bend(radius=60.0, height=4.0, dressing=0.2)
    took, (solid, bent) = best(lambda: bend_die(flat, bend))
    back, _ = best(lambda: unroll(solid, bent, "lying"))
    count = int(shapely.get_num_coordinates(face))
    print(f"{count:>8,} {raised:7.3f} {took:7.3f} {back:7.3f}  {len(flat.vertices):,} to {len(solid.vertices):,}")


def _edited(job: Job, art: Artwork, moved: Artwork) -> tuple[float, float]:
    """Return how long it takes until die and backing of edited artwork are there again, and all of the stamp."""
    return _edited_between([(job, art), (job, moved)])


def _edited_between(two: list[tuple[Job, Artwork]]) -> tuple[float, float]:
    """Return what :func:`_edited` does, of edits that lead from one stamp to another and back."""
    memory, seen, times = Memory(), [], []
    make_stamp(*two[0], memory=memory)
    for number in range(1, 6):
        job, art = two[number % 2]
        start, steps = clock(), {}
        # What is told first of a stage is that it begins.
        make_stamp(job, art, memory=memory, progress=lambda step, _, steps=steps: steps.setdefault(step, clock()))
        seen.append(steps["examine"] - start)
        times.append(clock() - start)
    return min(seen), min(times)


def rosettes(points: int, *, turn: float = 0.0) -> Artwork:
    """Return a field of lobed rings of so many points in all, about 40 mm across."""
    each = 60
    side = max(2, round(math.sqrt(points / (2 * each))))
    angles = np.linspace(0, 2 * np.pi, each, endpoint=False)
    pitch = 38.0 / side
    radii = 0.36 * pitch * (1 + 0.12 * np.cos(5 * angles))
    outer = shapely.Polygon(np.column_stack((radii * np.cos(angles), radii * np.sin(angles))))
    ring = affinity.rotate(outer.difference(affinity.scale(outer, 0.6, 0.6)), turn)
    offsets = (np.arange(side) - (side - 1) / 2) * pitch
    inked = MultiPolygon([affinity.translate(ring, x, y) for x in offsets for y in offsets])
    return Artwork(inked=inked, page_size=(40.0, 40.0), name="rosettes")


def best(work: Callable[[], Made]) -> tuple[float, Made]:
    """Return the least time that some work took, and what came of it."""
    times = []
    for _ in range(5):
        start = clock()
        made = work()
        times.append(clock() - start)
    return min(times), made


if __name__ == "__main__":
    main()
