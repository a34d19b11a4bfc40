"""Which of the next parts share a bed: as many of the first as find room, nested or, where that finds less, in rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from .nesting import Nester
from .parts import PartOutline, PartPlace, Room
from .rows import lay_in_rows

FULLEST = 0.95
"""Share of a bed that parts with their clearance are thought to cover at most: discs cover 0.91 of a plane."""

USUAL = 0.8
"""Share that they mostly cover when they are nested: where the search begins (measured on mixed forms)."""

SMALLER = 0.6
"""How large a part may be, beside the one that found no room, to be tried where that found none."""

FILLERS = 1
"""Forms of parts that come later which are tried in the room that is left, in vain, before a bed is full."""


class BedSearch:
    """Finds what stands on the beds of one room, one bed after the other; without ``nester`` in rows.

    ``given_up``: how many beds stand in rows because nesting had taken as long as it may.
    """

    def __init__(self, room: Room, nester: Nester | None = None) -> None:
        self.room, self.given_up = room, 0
        self._nester, self._share = nester, USUAL

    def next_bed(self, outlines: Sequence[PartOutline]) -> tuple[bool, dict[int, PartPlace]]:
        """Return whether the next bed is nested, and what stands on it, by number.

        It holds the first of ``outlines``, so that those in a rush come on the first beds, and small ones of those that
        follow. The first one fits a bed as it is or at a quarter turn.
        """
        may = [number for number, outline in enumerate(outlines) if stands_straight(outline, self.room)]
        rows = _most_in_rows([outlines[number] for number in may], self.room)
        nester = self._nester
        if nester is not None and nester.spent:
            self.given_up += 1
        elif nester is not None:
            chosen, places = self._first_nested([outlines[number] for number in may], len(rows), nester)
            if places:
                return True, {may[number]: place for number, place in zip(chosen, places, strict=True)}
        return False, {may[number]: place for number, place in rows.items()}

    def _first_nested(
        self, outlines: Sequence[PartOutline], in_rows: int, nester: Nester
    ) -> tuple[list[int], list[PartPlace]]:
        """Return which outlines can be nested, more than stand in rows and the first above all, and where; or none."""
        areas = np.array([nester.grown(outline).area for outline in outlines]) / (self.room.width * self.room.depth)
        shares = np.cumsum(areas)
        low, high = in_rows, int(np.searchsorted(shares, FULLEST, side="right"))
        count, missed = int(np.searchsorted(shares, self._share, side="right")), 0
        best: list[PartPlace] = []
        while low < high:
            count = min(max(count, low + 1), high)
            places = nester.nest(outlines[:count])
            if places is not None:
                best, low = places, count
                count += 1
            else:
                high, missed = count - 1, missed + 1
                # What nested on the last bed is a good guess; where it was none, halving is sooner there.
                count = high if missed < 3 else (low + high + 1) // 2
        if best:
            self._share = float(shares[low - 1])
        chosen, places = self._filled(outlines, areas, low, best, nester)
        return (chosen, places) if places else ([], [])

    def _filled(
        self,
        outlines: Sequence[PartOutline],
        areas: np.ndarray[tuple[int], np.dtype[np.float64]],
        first: int,
        best: list[PartPlace],
        nester: Nester,
    ) -> tuple[list[int], list[PartPlace]]:
        """Return what stands on a bed once smaller ones have been tried beside the first, as large as they can be."""
        chosen, places, in_vain = list(range(first)), best, 0
        following = sorted(range(first + 1, len(outlines)), key=lambda number: (-areas[number], number))
        smallest = areas[first] if first < len(outlines) else 0.0
        free = FULLEST - float(areas[:first].sum())
        for number in following:
            if in_vain >= FILLERS:
                break
            # What is nearly as large as one that found no room seldom finds any.
            if areas[number] > free or areas[number] >= SMALLER * smallest:
                continue
            found = nester.nest([outlines[each] for each in (*chosen, number)])
            if found is None:
                smallest, in_vain = areas[number], in_vain + 1
            else:
                chosen, places = [*chosen, number], found
                free -= float(areas[number])
        return chosen, places


def _most_in_rows(outlines: Sequence[PartOutline], room: Room) -> dict[int, PartPlace]:
    """Return as many of the first outlines as rows on one bed hold, with their places."""
    best: dict[int, PartPlace] = {}
    boxes = np.cumsum([np.prod(_size(outline)) for outline in outlines])
    low, high = 1, int(np.searchsorted(boxes, room.width * room.depth, side="right"))
    while low <= high:
        count = (low + high) // 2
        spots = lay_in_rows(outlines[:count], room)
        if all(bed == 0 for bed, _ in spots):
            best, low = dict(enumerate(place for _, place in spots)), count + 1
        else:
            high = count - 1
    return {number: replace(place, x=round(place.x, 3), y=round(place.y, 3)) for number, place in best.items()}


def stands_straight(outline: PartOutline, room: Room) -> bool:
    """Whether an outline fits a bed as it is or at a quarter turn, so that others may stand beside it."""
    size = np.array(_size(outline))
    free = np.array((room.width, room.depth)) - 2.0 * room.margin + 1e-9
    return bool((size <= free).all() or (size[::-1] <= free).all())


@lru_cache(maxsize=10_000)
def _size(outline: PartOutline) -> tuple[float, float]:
    """Return the width and depth of an outline, mm."""
    width, depth = np.ptp(np.array(outline), axis=0)
    return float(width), float(depth)
