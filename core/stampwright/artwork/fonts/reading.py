"""Reading order: text of both directions, as it is typed, in the order in which it stands on a line (UAX #9)."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

_NUMBERS = frozenset(("EN", "AN"))
_NEUTRAL = frozenset(("B", "S", "WS", "ON", "BN", "LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"))


@dataclass(frozen=True)
class Stretch:
    """Characters from ``start`` up to ``end`` that are read one way; ``leftward``: from right to left."""

    start: int
    end: int
    leftward: bool


def stretches(levels: Sequence[int]) -> list[Stretch]:
    """Return the stretches of a line from left to right as they stand on it; ``levels``: one for each character.

    >>> [(s.start, s.end, s.leftward) for s in stretches(reading_levels("a \u05d0\u05d1 1"))]
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


def reading_levels(text: str, leftward: bool | None = None) -> list[int]:
    """Return the level of every character: even where it is read rightward, odd where leftward (UAX #9, 3.3).

    ``leftward``: direction of the whole, None for that of its first letter. Marks that embed or isolate a direction,
    and brackets as pairs, are left aside.
    """
    kinds = [unicodedata.bidirectional(character) or "L" for character in text]
    if leftward is None:
        leftward = next((kind != "L" for kind in kinds if kind in {"L", "R", "AL"}), False)
    base = int(leftward)
    outer = "R" if leftward else "L"
    kinds = _resolved_neutrals(_resolved_weak(kinds, outer), outer)
    levels = [base + _rise(kind, base) for kind in kinds]
    # Rule L1: white space at the end goes with the whole.
    for at in range(len(text) - 1, -1, -1):
        if not text[at].isspace():
            break
        levels[at] = base
    return levels


def _rise(kind: str, base: int) -> int:
    if base:
        return 0 if kind == "R" else 1
    return {"L": 0, "R": 1}.get(kind, 2)


def _resolved_weak(kinds: list[str], outer: str) -> list[str]:
    """Return the kinds with marks, separators and signs of numbers resolved (rules W1 to W7)."""
    before = outer
    strong = outer
    found: list[str] = []
    for kind in kinds:
        if kind == "NSM":
            kind = before  # noqa: PLW2901 - the same character, resolved
        if kind in {"L", "R", "AL"}:
            strong = kind
        elif kind == "EN" and strong == "AL":
            kind = "AN"  # noqa: PLW2901
        before = kind
        found.append("R" if kind == "AL" else kind)
    for at in range(1, len(found) - 1):
        around = found[at - 1]
        joins = found[at] == "CS" or (found[at] == "ES" and around == "EN")
        if joins and around in _NUMBERS and found[at + 1] == around:
            found[at] = around
    at = 0
    for kind, same in [(key, len(list(group))) for key, group in groupby(found)]:
        near = {found[at - 1] if at else "", found[at + same] if at + same < len(found) else ""}
        if kind == "ET" and "EN" in near:
            found[at : at + same] = ["EN"] * same
        at += same
    strong = outer
    for at, kind in enumerate(found):
        if kind in {"L", "R"}:
            strong = kind
        elif kind == "EN" and strong == "L":
            found[at] = "L"
        elif kind in {"ES", "ET", "CS"}:
            found[at] = "ON"
    return found


def _resolved_neutrals(kinds: list[str], outer: str) -> list[str]:
    """Return the kinds with what has no direction put to what stands on both sides of it (rules N1 and N2)."""
    found = list(kinds)
    at = 0
    for neutral, same in [(key, len(list(group))) for key, group in groupby(kinds, key=lambda kind: kind in _NEUTRAL)]:
        if neutral:
            sides = [found[at - 1] if at else outer, kinds[at + same] if at + same < len(kinds) else outer]
            left, right = ("R" if side in _NUMBERS else side for side in sides)
            found[at : at + same] = [left if left == right else outer] * same
        at += same
    return found
