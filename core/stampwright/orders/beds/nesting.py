"""Outlines nested on one bed, by a library in a process of its own, and proven to stand apart."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Sequence
from contextlib import suppress
from functools import lru_cache
from importlib.util import find_spec

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon

from .parts import PartOutline, PartPlace, Room

NESTS = "spyrrow"
"""What nests, an extra (stampwright[orders]); without it parts stand in rows."""

PROCESS = f"{__package__}.nester"
"""What is run for each bed, as a module."""

REPORTS = 500
"""How long it is looked for a nesting, counted in what the solver reports: a few seconds. It begins with a strip up
to a tenth too wide, and makes it narrower by a thousandth in some three reports."""

SEEDS = (1, 2)
"""Where searches start from, side by side: the second often finds a place where the first does not."""

MOST_TRIES = 300
"""Sets of parts that are tried for all beds of one size: some ten minutes. What comes after that stands in rows."""

PATIENCE = 600.0
"""Seconds after which the process is taken to hang."""

TURNS = tuple(45.0 * number for number in range(8))
"""Degrees by which parts may be turned."""

_ALIKE = 0.02
"""Share of an outline that may lie otherwise once it is turned, for it to count as the same."""

_OUTSIDE = 0.05
"""How far the outlines that are nested lie outside those that are meant, mm, for fewer corners."""

_HAIR = 0.004
"""Room for places to be rounded, mm."""


def can_nest() -> bool:
    """Say whether the library that nests is installed."""
    return find_spec(NESTS) is not None


class Nester:
    """Nests outlines on beds of one size, and remembers which sets of them it nested or could not."""

    def __init__(self, room: Room, *, turns: Sequence[float] = TURNS, reports: int = REPORTS) -> None:
        self._room, self._turns, self._reports = room, tuple(turns), reports
        self._known: dict[tuple[tuple[PartOutline, int], ...], list[tuple[PartOutline, PartPlace]] | None] = {}

    @property
    def spent(self) -> bool:
        """Whether it has searched for as long as it may; what it knows by then it still knows."""
        return len(self._known) >= MOST_TRIES

    def grown(self, outline: PartOutline) -> Polygon:
        """Return an outline with half of the clearance round it, as it is nested."""
        return _grown(outline, self._room.clearance)

    def nest(self, outlines: Sequence[PartOutline]) -> list[PartPlace] | None:
        """Return where each outline stands, mm from the bed's corner, or None when no way was found in time."""
        alike = tuple(sorted(Counter(outlines).items()))
        if alike not in self._known and self.spent:
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
            "shapes": [self._shape(outline, count) for outline, count in alike],
            "height": room.depth - 2.0 * edge,
            "width": room.width - 2.0 * edge,
            "reports": self._reports,
        }
        found = _first_answer(asked, SEEDS)
        if found is None or Counter(int(number) for number, *_ in found) != dict(enumerate(c for _, c in alike)):
            return None
        # Whole thousandths: they are told so in files.
        return [
            (alike[int(number)][0], PartPlace(turn % 360.0, round(x + edge, 3), round(y + edge, 3)))
            for number, turn, x, y in sorted(found)
        ]

    def _shape(self, outline: PartOutline, count: int) -> dict[str, object]:
        grown = self.grown(outline)
        points = shapely.get_coordinates(grown.exterior)[:-1].tolist()
        return {"points": points, "count": count, "turns": _turns_that_differ(outline, self._turns)}


def _first_answer(asked: dict[str, object], seeds: Sequence[int]) -> list[list[float]] | None:
    """Return what the search finds from the first of several starts that finds anything; they run side by side."""
    running = [_begun({**asked, "seed": seed}) for seed in seeds]
    try:
        return next((found for process in running if (found := _answer_of(process)) is not None), None)
    finally:
        for process in running:
            process.kill()
            process.communicate()


def _begun(asked: dict[str, object]) -> subprocess.Popen[bytes]:
    """Begin a process that nests."""
    process = subprocess.Popen(
        [sys.executable, "-m", PROCESS], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    )
    # One that ended at once is told of when it is asked for its answer.
    with suppress(OSError), process.stdin as asking:  # type: ignore[union-attr]
        asking.write(json.dumps(asked).encode())
    process.stdin = None
    return process


def _answer_of(process: subprocess.Popen[bytes]) -> list[list[float]] | None:
    """Return what a process answers; None when it finds nothing, ends by itself or hangs."""
    try:
        answer, _ = process.communicate(timeout=PATIENCE)
        found: list[list[float]] | None = json.loads(answer) if process.returncode == 0 else None
    except (subprocess.SubprocessError, OSError, ValueError):
        return None
    good = isinstance(found, list) and all(len(each) == 4 and np.isfinite(each).all() for each in found)
    return found if good else None


@lru_cache(maxsize=10_000)
def _turns_that_differ(outline: PartOutline, turns: tuple[float, ...]) -> list[float]:
    """Return those of the turns by which an outline comes to lie otherwise: none but the first for a disc."""
    middle = Polygon(outline).centroid
    meant = Polygon(outline)
    found: list[float] = []
    for turn in turns:
        lying = [affinity.rotate(meant, turn - former, origin=middle) for former in found]
        if not any(each.symmetric_difference(meant).area < _ALIKE * meant.area for each in lying):
            found.append(turn)
    return found


@lru_cache(maxsize=10_000)
def _grown(outline: PartOutline, clearance: float) -> Polygon:
    """Return an outline with half of the clearance round it, in few corners, never less than that."""
    # Chords of a round lie inside it.
    reach = (clearance / 2.0 + _HAIR / 2.0) / math.cos(math.pi / 16.0)
    wanted = Polygon(outline).buffer(reach, quad_segs=4)
    few = wanted.simplify(_OUTSIDE).buffer(_OUTSIDE, join_style="mitre")
    return few if isinstance(few, Polygon) and few.covers(wanted) else wanted
