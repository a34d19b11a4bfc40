"""Outlines nested on one bed, by a library in a process of its own, and proven to stand apart."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.util import find_spec

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import Polygon

from ...plane.overlays import unshared
from .parts import PartOutline, PartPlace, Room

NESTS = "spyrrow"
"""What nests, an extra (stampwright[orders]); without it parts stand in rows."""

PROCESS = f"{__package__}.nester"
"""What is run for each bed, as a module."""

REPORTS = 300
"""How long it is looked for a nesting, counted in what the solver reports: a few seconds. It begins with a strip up
to a fifth too wide, and makes it narrower by a thousandth in some three reports; on mixed forms that cover three
quarters of a bed 21 of 21 searches that found a nesting at all found it within 305."""

EASY = 150
"""Reports within which what was found was easy to find, so that more may find room."""

SEEDS = (1, 2)
"""Where searches start from, side by side: the second often finds a place where the first does not."""

MOST_TRIES = 200
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


_Set = tuple[tuple[PartOutline, int], ...]
"""Outlines, each with how many there are of it."""


def can_nest() -> bool:
    """Say whether the library that nests is installed."""
    return find_spec(NESTS) is not None


@dataclass(frozen=True)
class Nesting:
    """Where outlines stand that were nested, mm from the bed's corner; ``easy``: whether that was soon found."""

    places: tuple[PartPlace, ...]
    easy: bool


class Nester:
    """Nests outlines on beds of one size, and remembers which sets of them it nested or could not."""

    def __init__(self, room: Room, *, turns: Sequence[float] = TURNS, reports: int = REPORTS) -> None:
        self._room, self._turns, self._reports = room, tuple(turns), reports
        self._known: dict[_Set, tuple[list[tuple[PartOutline, PartPlace]], bool] | None] = {}

    @property
    def spent(self) -> bool:
        """Whether it has searched for as long as it may; what it knows by then it still knows."""
        return len(self._known) >= MOST_TRIES

    def grown(self, outline: PartOutline) -> Polygon:
        """Return an outline with half of the clearance round it, as it is nested."""
        return _grown(outline, self._room.clearance)

    def nest(self, outlines: Sequence[PartOutline]) -> Nesting | None:
        """Return where each outline stands, or None when no way was found in time."""
        alike = tuple(sorted(Counter(outlines).items()))
        if alike not in self._known and self.spent:
            return None
        if alike not in self._known:
            self._known[alike] = self._nested(alike)
        found = self._known[alike]
        if found is None:
            return None
        places: dict[PartOutline, list[PartPlace]] = defaultdict(list)
        for outline, place in found[0]:
            places[outline].append(place)
        return Nesting(tuple(places[outline].pop(0) for outline in outlines), found[1])

    def _nested(self, alike: _Set) -> tuple[list[tuple[PartOutline, PartPlace]], bool] | None:
        room = self._room
        # Half of the clearance round each part may lie over the margin: there is nothing to be clear of.
        edge = room.margin - room.clearance / 2.0 - _HAIR
        found = _answer(
            {
                "shapes": [self._shape(outline, count) for outline, count in alike],
                "height": room.depth - 2.0 * edge,
                "width": room.width - 2.0 * edge,
                "reports": self._reports,
                "seeds": SEEDS,
            }
        )
        if found is None:
            return None
        places, reports = found
        if Counter(int(number) for number, *_ in places) != dict(enumerate(count for _, count in alike)):
            return None
        # Whole thousandths: they are told so in files.
        return [
            (alike[int(number)][0], PartPlace(turn % 360.0, round(x + edge, 3), round(y + edge, 3)))
            for number, turn, x, y in sorted(places)
        ], reports <= EASY

    def _shape(self, outline: PartOutline, count: int) -> dict[str, object]:
        grown = self.grown(outline)
        points = shapely.get_coordinates(grown.exterior)[:-1].tolist()
        return {"points": points, "count": count, "turns": _turns_that_differ(outline, self._turns)}


def _answer(asked: dict[str, object]) -> tuple[list[list[float]], int] | None:
    """Return what a process of its own finds, after how many reports; None when that is nothing, it ends or hangs."""
    try:
        process = subprocess.run(
            [sys.executable, "-m", PROCESS],
            input=json.dumps(asked).encode(),
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=PATIENCE,
            check=True,
        )
        answer = json.loads(process.stdout)
        found, reports = answer["places"], int(answer["reports"])
    except (subprocess.SubprocessError, OSError, ValueError, TypeError, KeyError):
        return None
    good = isinstance(found, list) and all(len(each) == 4 and np.isfinite(each).all() for each in found)
    return (found, reports) if good else None


@lru_cache(maxsize=10_000)
def _turns_that_differ(outline: PartOutline, turns: tuple[float, ...]) -> list[float]:
    """Return those of the turns by which an outline comes to lie otherwise: none but the first for a disc."""
    middle = Polygon(outline).centroid
    meant = Polygon(outline)
    found: list[float] = []
    for turn in turns:
        lying = [affinity.rotate(meant, turn - former, origin=middle) for former in found]
        if not any(unshared(each, meant).area < _ALIKE * meant.area for each in lying):
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
