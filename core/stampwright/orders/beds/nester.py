"""The process that nests outlines in a strip: it may end on what it dislikes, and nobody else with it.

Run as a module by :mod:`.nesting`. In comes one object of JSON: ``shapes`` with ``points``, ``count`` and ``turns``,
``height`` and ``width`` of the strip, mm, and how many ``reports`` the solver may make. It makes the strip
narrower step by step, and the first step that it cannot make is the end: what it tries then takes long, mostly in vain.
Out comes a list of [shape, turn, x, y], or null when it found none of that width by then. What the solver does is
counted, not seconds, and one thread searches: so the same outlines come to the same places, however slow the machine.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time

SECONDS = 600
"""Time after which the solver gives up in any case: nobody waits that long."""

_LOOK = 0.005  # seconds from look to look


def main() -> int:
    """Nest what comes in."""
    import spyrrow  # noqa: PLC0415

    asked = json.load(sys.stdin)
    items = [
        spyrrow.Item(str(number), [tuple(point) for point in shape["points"]], shape["count"], shape["turns"])
        for number, shape in enumerate(asked["shapes"])
    ]
    strip = spyrrow.StripPackingInstance("bed", asked["height"], items)
    config = spyrrow.StripPackingConfig(
        early_termination=True, total_computation_time=SECONDS, num_workers=1, seed=asked["seed"]
    )
    reports = spyrrow.ProgressQueue()
    ended = threading.Event()

    def solve() -> None:
        try:
            strip.solve(config, progress=reports)
        finally:
            ended.set()

    threading.Thread(target=solve, daemon=True).start()
    seen = 0
    while True:
        last = ended.is_set()
        for kind, solution in reports.drain():
            seen += 1
            feasible = kind not in (spyrrow.ReportType.ExplInfeas, spyrrow.ReportType.ExplImproving)
            if feasible and solution.width <= asked["width"]:
                places = [[int(item.id), item.rotation, *item.translation] for item in solution.placed_items]
                answer(places)
            if kind == spyrrow.ReportType.ExplInfeas or seen >= asked["reports"]:
                answer(None)
        if last:
            answer(None)
        time.sleep(_LOOK)


def answer(places: list[list[float]] | None) -> None:
    """Say what was found and end, whatever the solver is at."""
    json.dump(places, sys.stdout)
    sys.stdout.flush()
    os._exit(0)


if __name__ == "__main__":
    sys.exit(main())
