"""The process that nests outlines in a strip: it may end on what it dislikes, and nobody else with it.

Run as a module by :mod:`.nesting`. In comes one object of JSON: ``shapes`` with ``points``, ``count`` and ``turns``,
``height`` and ``width`` of the strip, mm, the ``seeds`` to start from, and how many ``reports`` the solver may make
from each. It makes the strip narrower step by step, and the first step that it cannot make is the end: what it tries
then takes long, mostly in vain. Out comes an object with ``places``, a list of [shape, turn, x, y], or null when none
of that width was found by then, and after how many ``reports``.

Searches from all seeds run side by side, each in one thread, and the first by reports counts. What the solver does is
counted, not seconds: so the same outlines come to the same places, however slow the machine or many its processors.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time
from typing import Any

SECONDS = 600
"""Time after which the solver gives up in any case: nobody waits that long."""

_LOOK = 0.005  # seconds from look to look


class Search:
    """One search, from one seed. ``seen``: reports so far; ``places``: what it found after as many, and is over."""

    def __init__(self, spyrrow: Any, asked: dict[str, Any], seed: int) -> None:
        items = [
            spyrrow.Item(str(number), [tuple(point) for point in shape["points"]], shape["count"], shape["turns"])
            for number, shape in enumerate(asked["shapes"])
        ]
        self._strip = spyrrow.StripPackingInstance("bed", asked["height"], items)
        self._config = spyrrow.StripPackingConfig(
            early_termination=True, total_computation_time=SECONDS, num_workers=1, seed=seed
        )
        self._unlike = (spyrrow.ReportType.ExplInfeas, spyrrow.ReportType.ExplImproving)
        self._reports, self._width = spyrrow.ProgressQueue(), asked["width"]
        self._ended = threading.Event()
        self.seen, self.over = 0, False
        self.places: list[list[float]] | None = None
        threading.Thread(target=self._solve, daemon=True).start()

    def _solve(self) -> None:
        try:
            self._strip.solve(self._config, progress=self._reports)
        finally:
            self._ended.set()

    def look(self, most: int) -> None:
        """Take in what was reported, up to ``most`` reports in all."""
        last = self._ended.is_set()
        for kind, solution in self._reports.drain():
            if self.over or self.seen >= most:
                break
            self.seen += 1
            if kind not in self._unlike and solution.width <= self._width:
                self.places = [[int(item.id), item.rotation, *item.translation] for item in solution.placed_items]
            self.over = self.places is not None or kind == self._unlike[0]
        self.over = self.over or last or self.seen >= most


def main() -> int:
    """Nest what comes in."""
    import spyrrow  # noqa: PLC0415

    asked = json.load(sys.stdin)
    searches = [Search(spyrrow, asked, seed) for seed in asked["seeds"]]
    most = asked["reports"]
    while not all(search.over for search in searches):
        time.sleep(_LOOK)
        for search in searches:
            if not search.over:
                search.look(most)
            if search.places is not None:
                # Whoever finds anything later than this does not count.
                most = min(most, search.seen)
    found = [search for search in searches if search.places is not None]
    first = min(found, key=lambda search: search.seen, default=None)
    json.dump({"places": first and first.places, "reports": first.seen if first else most}, sys.stdout)
    sys.stdout.flush()
    # Whatever the solver is at.
    os._exit(0)


if __name__ == "__main__":
    sys.exit(main())
