"""Outlines nested on one bed, by a library in a process of its own, and proven to stand apart."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Sequence
from functools import lru_cache
from importlib.util import find_spec

import numpy as np
import shapely
from shapely.geometry import Polygon

from .parts import PartOutline, PartPlace, Room

LIBRARY = "spyrrow"
"""What nests, an extra (stampwright[orders]); without it parts stand in rows."""

PROCESS = f"{__package__}.nester"
"""What is run for each bed, as a module."""

REPORTS = 250
"""How long it is looked for a nesting, counted in what the solver reports: a few seconds. Twice as many take ten times
as long for 2 % more (measured)."""

MOST_TRIES = 200
"""Sets of parts that are tried for all beds of one size: some minutes. What comes after that stands in rows."""

PATIENCE = 600.0
"""Seconds after which the process is taken to hang."""

TURNS = (0.0, 90.0, 180.0, 270.0)

_OUTSIDE = 0.05
"""How far the outlines that are nested lie outside those that are meant, mm, for fewer corners."""

_HAIR = 0.004
"""Room for places to be rounded, mm."""


def can_nest() -> bool:
    """Say whether the library that nests is installed."""
    return find_spec(LIBRARY) is not None


class Nester:
    """Nests outlines on beds of one size, and remembers which sets of them it nested or could not."""

    def __init__(self, room: Room, *, turns: Sequence[float] = TURNS, reports: int = REPORTS) -> None:
        self._room, self._turns, self._reports = room, tuple(turns), reports
        self._known: dict[tuple[tuple[PartOutline, int], ...], list[tuple[PartOutline, PartPlace]] | None] = {}

    def grown(self, outline: PartOutline) -> Polygon:
        """Return an outline with half of the clearance round it, as it is nested."""
        return _grown(outline, self._room.clearance)

    def nest(self, outlines: Sequence[PartOutline]) -> list[PartPlace] | None:
        """Return where each outline stands, mm from the bed's corner, or None when no way was found in time."""
        alike = tuple(sorted(Counter(outlines).items()))
        if alike not in self._known and len(self._known) >= MOST_TRIES:
            return None
        if alike not in self._known:
            self._known[alike] = self._nested(alike)
        found = self._known[alike]
        if found is None:
            return None
        places: dict[PartOutline, list[PartPlace]] = defaultdict(list)
        for outline, place in found:
            places[outline].append(place)
        return [places[outline].pop(0) for outline in outlines]

    def _nested(self, alike: tuple[tuple[PartOutline, int], ...]) -> list[tuple[PartOutline, PartPlace]] | None:
        room = self._room
        # Half of the clearance round each part may lie over the margin: there is nothing to be clear of.
        edge = room.margin - room.clearance / 2.0 - _HAIR
        asked = {
            "shapes": [
                {"points": shapely.get_coordinates(self.grown(outline).exterior)[:-1].tolist(), "count": count}
                for outline, count in alike
            ],
            "turns": self._turns,
            "height": room.depth - 2.0 * edge,
            "width": room.width - 2.0 * edge,
            "reports": self._reports,
            "seed": 1,
        }
        found = _answer(asked)
        if found is None or Counter(int(number) for number, *_ in found) != dict(enumerate(c for _, c in alike)):
            return None
        # Whole thousandths: they are told so in files.
        return [
            (alike[int(number)][0], PartPlace(turn % 360.0, round(x + edge, 3), round(y + edge, 3)))
            for number, turn, x, y in sorted(found)
        ]


def _answer(asked: dict[str, object]) -> list[list[float]] | None:
    """Return what the process answers; None when it finds nothing, ends by itself or hangs."""
    command = [sys.executable, "-m", PROCESS]
    try:
        ended = subprocess.run(
            command, input=json.dumps(asked).encode(), capture_output=True, timeout=PATIENCE, check=True
        )
        found: list[list[float]] | None = json.loads(ended.stdout)
    except (subprocess.SubprocessError, OSError, ValueError):
        return None
    good = isinstance(found, list) and all(len(each) == 4 and np.isfinite(each).all() for each in found)
    return found if good else None


@lru_cache(maxsize=10_000)
def _grown(outline: PartOutline, clearance: float) -> Polygon:
    """Return an outline with half of the clearance round it, in few corners, never less than that."""
    # Chords of a round lie inside it.
    reach = (clearance / 2.0 + _HAIR / 2.0) / math.cos(math.pi / 16.0)
    wanted = Polygon(outline).buffer(reach, quad_segs=4)
    few = wanted.simplify(_OUTSIDE).buffer(_OUTSIDE, join_style="mitre")
    return few if isinstance(few, Polygon) and few.covers(wanted) else wanted
