"""Which of the next parts share a bed: the first, and what fills it up, nested or, where that finds less, in rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from .nesting import Nester, Nesting
from .parts import PartOutline, PartPlace, Room
from .rows import lay_in_rows

FULLEST = 0.95
"""Share of a bed within its margin that parts with half of the clearance round them are thought to cover at most: discs
cover 0.91 of a plane."""

USUAL = 0.815
"""Share that is tried first. Of mixed forms 0.77 is found at once, 0.80 in seconds, 0.83 seldom (measured)."""

STEP = 0.012
"""By how much more is tried after what was easily found; after a search in vain so much less, after the next twice as
much less, and so on."""

PASSED_OVER = 2
"""Parts that may wait for the next bed, so that larger or smaller ones fill this one up."""

MISSES = 5
"""Searches in vain after which a bed is laid in rows."""


class BedSearch:
    """Finds what stands on the beds of one room, one bed after the other; without ``nester`` in rows.

    What nesting costs are mostly the searches in vain. So it is not sought how much a bed holds at most: each is filled
    up to the share that was found on the last one. ``given_up``: how many beds stand in rows because nesting had
    taken as long as it may.
    """

    def __init__(self, room: Room, nester: Nester | None = None) -> None:
        self.room, self.given_up = room, 0
        self._nester, self._share = nester, USUAL

    def next_bed(self, outlines: Sequence[PartOutline], kept: int = 0) -> tuple[bool, dict[int, PartPlace]]:
        """Return whether the next bed is nested, and what stands on it, by number.

        It holds the first of ``outlines``, and some of those that follow; of the first ``kept``, those in a rush, none
        waits for the next bed so that later ones fill this one better. The first one fits a bed as it is or at a
        quarter turn.
        """
        may = [number for number, outline in enumerate(outlines) if stands_straight(outline, self.room)]
        rows = _most_in_rows([outlines[number] for number in may], self.room)
        nester = self._nester
        if nester is not None and nester.spent:
            self.given_up += 1
        elif nester is not None and len(rows) < len(may):
            kept = sum(number < kept for number in may)
            chosen, nesting = self._nested([outlines[number] for number in may], list(rows), nester, kept)
            if nesting is not None:
                return True, {may[number]: place for number, place in zip(chosen, nesting.places, strict=True)}
        return False, {may[number]: place for number, place in rows.items()}

    def _nested(
        self, outlines: Sequence[PartOutline], rows: list[int], nester: Nester, kept: int
    ) -> tuple[list[int], Nesting | None]:
        """Return which outlines can be nested, the first among them and more than rows cover, and where; or None."""
        room = self.room
        sides = np.array((room.width, room.depth)) - 2.0 * room.margin + room.clearance
        areas = np.array([nester.grown(outline).area for outline in outlines]) / np.prod(sides)
        least = _covered(areas, rows)
        share, chosen = _fuller(areas, self._share, least, kept)
        best, nesting = chosen, None
        misses = 0
        while chosen and misses < MISSES:
            covered = _covered(areas, chosen)
            found = nester.nest([outlines[number] for number in chosen])
            if found is not None:
                self._share, best, nesting = share, chosen, found
                if misses or not found.easy:
                    break
                share, chosen = _fuller(areas, share + STEP, covered, kept)
            elif nesting is not None:
                break
            else:
                misses += 1
                self._share = share = min(share, covered) - misses * STEP
                chosen = _filling(areas, share, kept)
                if _covered(areas, chosen) <= least:
                    break
        return best, nesting


def _fuller(areas: NDArray[np.float64], share: float, least: float, kept: int) -> tuple[float, list[int]]:
    """Return a share of a bed, from ``share`` on, and parts that fill it and cover more than ``least``; or none."""
    while share <= FULLEST:
        chosen = _filling(areas, share, kept)
        if _covered(areas, chosen) > least:
            return share, chosen
        share += STEP
    return share, []


def _filling(areas: NDArray[np.float64], share: float, kept: int) -> list[int]:
    """Return which parts come nearest to a share of a bed: as many of the first as fit, and what fills it up.

    The first part is always among them, and so are as many of the first ``kept`` as fit; others may wait for the next
    bed where later ones fill this one better.
    """
    most = max(1, int(np.searchsorted(np.cumsum(areas), share, side="right")))
    least = max(1, most - PASSED_OVER, min(kept, most))
    fillings = [_filled(areas, share, first) for first in range(most, least - 1, -1)]
    return max(fillings, key=lambda chosen: _covered(areas, chosen))


def _covered(areas: NDArray[np.float64], chosen: Sequence[int]) -> float:
    """Return the share that parts cover: the same for the same parts in another order."""
    return round(float(areas[list(chosen)].sum()), 9)


def _filled(areas: NDArray[np.float64], share: float, first: int) -> list[int]:
    """Return so many of the first parts and, of those that follow, the largest each time that fills up the share."""
    chosen, free = list(range(first)), share - float(areas[:first].sum())
    for number in sorted(range(first, len(areas)), key=lambda number: (-areas[number], number)):
        if areas[number] <= free:
            chosen.append(number)
            free -= float(areas[number])
    return chosen


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
