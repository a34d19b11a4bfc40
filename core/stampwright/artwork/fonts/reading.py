"""Reading order: stretches of text of both directions in the order in which they stand on a line (UAX #9)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby


@dataclass(frozen=True)
class Stretch:
    """Characters from ``start`` up to ``end`` that are read one way; ``leftward``: from right to left."""

    start: int
    end: int
    leftward: bool


def stretches(levels: Sequence[int]) -> list[Stretch]:
    """Return the stretches of a line from left to right as they stand on it; ``levels``: one for each character.

    >>> [(s.start, s.end, s.leftward) for s in stretches([0, 0, 1, 1, 1, 2])]
    [(0, 2, False), (5, 6, False), (2, 5, True)]
    """
    found: list[tuple[int, Stretch]] = []
    at = 0
    for level, same in groupby(levels):
        end = at + sum(1 for _ in same)
        found.append((level, Stretch(at, end, level % 2 == 1)))
        at = end
    # Rule L2: from the highest level down, what lies at it or above is turned round.
    for level in range(max(levels, default=0), 0, -1):
        at = 0
        for high, part in [(key, list(group)) for key, group in groupby(found, key=lambda one: one[0] >= level)]:
            if high:
                found[at : at + len(part)] = part[::-1]
            at += len(part)
    return [stretch for _, stretch in found]
