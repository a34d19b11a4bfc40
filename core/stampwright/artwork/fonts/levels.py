"""Levels of text: how deep each character lies in text that is read the other way (Unicode Standard Annex 9).

Rules are named as there: X for marks that embed, override or isolate a direction, W for signs of numbers and the like,
N for what has no direction of its own, brackets first, I and L for the levels that follow.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import groupby, pairwise

NUMBERS = frozenset(("EN", "AN"))
ISOLATES = frozenset(("LRI", "RLI", "FSI"))
EMBEDDINGS = {"LRE": "L", "RLE": "R", "LRO": "L", "RLO": "R"}
REMOVED = frozenset((*EMBEDDINGS, "PDF", "BN"))
"""Kinds that the rules after X8 do not see (rule X9)."""

NEUTRAL = frozenset(("B", "S", "WS", "ON", *ISOLATES, "PDI"))

RIGHTWARD = frozenset(("L", "EN", "ES", "ET", "CS", "NSM", "B", "S", "WS", "ON"))
"""Kinds that lie at the level of the whole where nothing else is among them."""

DEEPEST = 125
"""Levels that marks may open (BD2)."""

MOST_OPEN = 63
"""Brackets that may be open at once (BD16)."""


def reading_levels(text: str, leftward: bool | None = None) -> list[int]:
    r"""Return the level of every character: even where it is read rightward, odd where leftward.

    ``leftward``: direction of the whole, None for that of its first letter. Marks that are not seen have the level of
    what stands before them.

    >>> reading_levels("\u05d0 (b) 1", True)
    [1, 1, 1, 2, 1, 1, 2]
    """
    kinds = [unicodedata.bidirectional(character) or "L" for character in text]
    if not leftward and RIGHTWARD.issuperset(kinds):
        # Numbers after no letter of the other way are letters (rule W7), and what lies between them goes along.
        return [0] * len(kinds)
    ends = _ends_of_isolates(kinds)
    if leftward is None:
        leftward = _first_direction(kinds, ends, 0, len(kinds)) == "R"
    base = int(leftward)
    levels, overridden = _embedded(kinds, ends, base)
    seen = [at for at, kind in enumerate(kinds) if kind not in REMOVED]
    for line in _lines(seen, overridden, ends, levels, base):
        rise = _resolved(line, text, overridden, levels)
        for at, kind in zip(line.places, rise, strict=True):
            levels[at] += _rise(kind, levels[at])
    for at, kind in enumerate(kinds):
        if kind in REMOVED:
            levels[at] = levels[at - 1] if at else base
    _reset_ends(kinds, levels, base)
    return levels


def _ends_of_isolates(kinds: Sequence[str]) -> dict[int, int]:
    """Return where each mark that isolates is ended, if it is (BD9)."""
    ends: dict[int, int] = {}
    opened: list[int] = []
    for at, kind in enumerate(kinds):
        if kind in ISOLATES:
            opened.append(at)
        elif kind == "PDI" and opened:
            ends[opened.pop()] = at
    return ends


def _first_direction(kinds: Sequence[str], ends: dict[int, int], begin: int, end: int) -> str:
    """Return the direction of the first letter outside isolates, L where there is none (rules P2 and P3)."""
    at = begin
    while at < end:
        if kinds[at] in {"L", "R", "AL"}:
            return "L" if kinds[at] == "L" else "R"
        at = ends.get(at, end) if kinds[at] in ISOLATES else at + 1
    return "L"


def _embedded(kinds: Sequence[str], ends: dict[int, int], base: int) -> tuple[list[int], list[str]]:
    """Return the levels that marks give, and kinds as they override them (rules X1 to X8)."""
    levels, found, stack = [base] * len(kinds), list(kinds), _Stack(base)
    for at, kind in enumerate(kinds):
        if kind == "PDI":
            stack.end_isolate()
        elif kind == "PDF":
            stack.end_embedding()
        if kind == "B" or kind in REMOVED - {"BN"}:
            levels[at] = base
        else:
            levels[at] = stack.level
            found[at] = stack.override if stack.override and kind != "BN" else kind
        if kind in ISOLATES or kind in EMBEDDINGS:
            way = EMBEDDINGS.get(kind) or kind[0]
            if kind == "FSI":
                way = _first_direction(kinds, ends, at + 1, ends.get(at, len(kinds)))
            stack.open(way, override=kind in {"LRO", "RLO"}, isolating=kind in ISOLATES)
    return levels, found


class _Stack:
    """What marks have opened: levels, the kind that each overrides others with, and whether it isolates (X1)."""

    def __init__(self, base: int) -> None:
        self._opened: list[tuple[int, str, bool]] = [(base, "", False)]
        self._isolates_over = self._embeddings_over = self._isolates = 0

    @property
    def level(self) -> int:
        return self._opened[-1][0]

    @property
    def override(self) -> str:
        return self._opened[-1][1]

    def open(self, way: str, *, override: bool, isolating: bool) -> None:
        level = self.level + 1
        level += level % 2 != (way == "R")
        if level <= DEEPEST and not self._isolates_over and not self._embeddings_over:
            self._isolates += isolating
            self._opened.append((level, way if override else "", isolating))
        elif isolating:
            self._isolates_over += 1
        elif not self._isolates_over:
            self._embeddings_over += 1

    def end_isolate(self) -> None:
        if self._isolates_over:
            self._isolates_over -= 1
        elif self._isolates:
            self._embeddings_over = 0
            while not self._opened[-1][2]:
                self._opened.pop()
            self._opened.pop()
            self._isolates -= 1

    def end_embedding(self) -> None:
        if self._isolates_over:
            return
        if self._embeddings_over:
            self._embeddings_over -= 1
        elif len(self._opened) > 1 and not self._opened[-1][2]:
            self._opened.pop()


@dataclass(frozen=True)
class _Line:
    """Characters that are resolved together, by their ``places``, and the directions before and after them (X10)."""

    places: list[int]
    before: str
    after: str


def _lines(
    seen: Sequence[int], kinds: Sequence[str], ends: dict[int, int], levels: Sequence[int], base: int
) -> list[_Line]:
    """Return runs of one level, joined across the isolates between them (BD13)."""
    runs = [list(run) for _, run in groupby(seen, key=lambda at: levels[at])]
    beginning = {run[0]: run for run in runs}
    order = {at: number for number, at in enumerate(seen)}
    joined = set(ends.values())
    lines = []
    for run in runs:
        if run[0] in joined:
            continue
        places = list(run)
        while places[-1] in ends:
            places += beginning[ends[places[-1]]]
        level = levels[places[0]]
        first, last = order[places[0]], order[places[-1]]
        above = levels[seen[first - 1]] if first else base
        below = levels[seen[last + 1]] if last + 1 < len(seen) and _ends_open(places[-1], kinds, ends) else base
        lines.append(_Line(places, _way(max(level, above)), _way(max(level, below))))
    return lines


def _ends_open(last: int, kinds: Sequence[str], ends: dict[int, int]) -> bool:
    return kinds[last] not in ISOLATES or last in ends


def _way(level: int) -> str:
    return "R" if level % 2 else "L"


def _resolved(line: _Line, text: str, kinds: Sequence[str], levels: Sequence[int]) -> list[str]:
    """Return the kinds of a line's characters as the rules W1 to N2 leave them: L, R, EN or AN."""
    given = [kinds[at] for at in line.places]
    found = _resolved_weak(given, line.before)
    own = _way(levels[line.places[0]])
    _resolve_brackets(found, given, "".join(text[at] for at in line.places), line.before, own)
    return _resolved_neutrals(found, line, own)


def _resolved_weak(kinds: Sequence[str], outer: str) -> list[str]:
    """Return the kinds with marks, separators and signs of numbers resolved (rules W1 to W7)."""
    before = outer
    strong = outer
    found: list[str] = []
    for kind in kinds:
        if kind == "NSM":
            kind = "ON" if before in ISOLATES or before == "PDI" else before  # noqa: PLW2901 - the same, resolved
        if kind in {"L", "R", "AL"}:
            strong = kind
        elif kind == "EN" and strong == "AL":
            kind = "AN"  # noqa: PLW2901
        before = kind
        found.append("R" if kind == "AL" else kind)
    for at in range(1, len(found) - 1):
        around = found[at - 1]
        joins = found[at] == "CS" or (found[at] == "ES" and around == "EN")
        if joins and around in NUMBERS and found[at + 1] == around:
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


@cache
def closing_brackets() -> dict[str, str]:
    """Return the closing bracket of each opening one, decomposed (Bidi_Paired_Bracket in Unicode's database).

    All open and close punctuation that is mirrored in text read leftward, in pairs that follow each other but for two.
    """
    marks = [chr(code) for code in range(0x10000) if unicodedata.category(chr(code)) in {"Ps", "Pe"}]
    marks = [mark for mark in marks if unicodedata.mirrored(mark) and unicodedata.bidirectional(mark) == "ON"]
    pairs = {
        mark: after
        for mark, after in pairwise(marks)
        if unicodedata.category(mark) == "Ps" and unicodedata.category(after) == "Pe" and ord(after) - ord(mark) <= 2
    }
    pairs |= {"\u298d": "\u2990", "\u298f": "\u298e"}
    return {unicodedata.normalize("NFD", mark): unicodedata.normalize("NFD", after) for mark, after in pairs.items()}


def _bracket_pairs(kinds: Sequence[str], text: str) -> list[tuple[int, int]]:
    """Return where brackets open and close, in the order of opening (BD14 to BD16)."""
    if not any(unicodedata.category(character) == "Ps" for character in text):
        return []
    closing = closing_brackets()
    closes = set(closing.values())
    opened: list[tuple[str, int]] = []
    pairs: list[tuple[int, int]] = []
    for at, (kind, character) in enumerate(zip(kinds, text, strict=True)):
        mark = unicodedata.normalize("NFD", character)
        if kind != "ON":
            continue
        if mark in closing:
            if len(opened) == MOST_OPEN:
                break
            opened.append((closing[mark], at))
        elif mark in closes:
            match = next((deep for deep in range(len(opened) - 1, -1, -1) if opened[deep][0] == mark), None)
            if match is not None:
                pairs.append((opened[match][1], at))
                del opened[match:]
    return sorted(pairs)


def _resolve_brackets(found: list[str], given: Sequence[str], text: str, before: str, own: str) -> None:
    """Give brackets, in place, the direction of what they hold, or of what they stand in (rule N0)."""
    for opening, closing in _bracket_pairs(found, text):
        inside = {_strong(kind) for kind in found[opening + 1 : closing]} - {""}
        if not inside:
            continue
        way = own
        if own not in inside:
            context = next((_strong(kind) for kind in reversed(found[:opening]) if _strong(kind)), before)
            way = context if context != own else own
        for at in (opening, closing):
            found[at] = way
            for mark in range(at + 1, len(found)):
                if given[mark] != "NSM":
                    break
                found[mark] = way


def _strong(kind: str) -> str:
    return "R" if kind in NUMBERS else kind if kind in {"L", "R"} else ""


def _resolved_neutrals(kinds: Sequence[str], line: _Line, own: str) -> list[str]:
    """Return the kinds with what has no direction put to what stands on both sides of it (rules N1 and N2)."""
    found = list(kinds)
    at = 0
    for neutral, same in [(key, len(list(group))) for key, group in groupby(kinds, key=lambda kind: kind in NEUTRAL)]:
        if neutral:
            left = _strong(found[at - 1]) if at else line.before
            right = _strong(kinds[at + same]) if at + same < len(kinds) else line.after
            found[at : at + same] = [left if left == right else own] * same
        at += same
    return found


def _rise(kind: str, level: int) -> int:
    """Return by how much a character's level rises above that of its run (rules I1 and I2)."""
    if level % 2:
        return 0 if kind == "R" else 1
    return {"L": 0, "R": 1}.get(kind, 2)


def _reset_ends(kinds: Sequence[str], levels: list[int], base: int) -> None:
    """Put separators, and white space before them and at the end, back to the level of the whole, in place (L1)."""
    at_end = True
    for at in range(len(kinds) - 1, -1, -1):
        at_end = kinds[at] in {"B", "S"} or (at_end and kinds[at] in {"WS", "PDI", *ISOLATES, *REMOVED})
        if at_end:
            levels[at] = base
