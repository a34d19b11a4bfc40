"""Where numbers stand beside a picture, so that the lines that lead from them to their places do not cross."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..paper.marks import in_order
from ..sketches.marks import Spot


@dataclass(frozen=True)
class Gutters:
    """Lines left and right of a picture, ``top`` to ``bottom``, on which numbers stand ``spacing`` apart; mm."""

    left: float
    right: float
    top: float
    bottom: float
    spacing: float

    @property
    def room(self) -> int:
        """How many numbers both lines hold."""
        return 2 * self._rows

    @property
    def _rows(self) -> int:
        return int((self.bottom - self.top) / self.spacing) + 1

    def lead(self, spots: Sequence[Spot]) -> list[Spot]:
        """Return where the number of each of some spots stands, at most :attr:`room` of them; x right, y down.

        Each goes to the nearer side, as long as there is room, and about as high as its spot. Wherever two lines would
        cross, their numbers change places: that shortens both together, so it comes to an end.
        """
        across = sorted(range(len(spots)), key=lambda index: spots[index])
        middle = (self.left + self.right) / 2.0
        lefts = sum(x <= middle for x, _ in spots)
        cut = min(max(lefts, len(spots) - self._rows), self._rows)
        stands: dict[int, Spot] = {}
        for x, side in ((self.left, across[:cut]), (self.right, across[cut:])):
            stands.update(self._along(x, side, spots))
        return [stands[index] for index in range(len(spots))]

    def _along(self, x: float, side: list[int], spots: Sequence[Spot]) -> dict[int, Spot]:
        """Return where the numbers of one side stand."""
        if not side:
            return {}
        side = sorted(side, key=lambda index: spots[index][1])
        steps = self.spacing * np.arange(len(side))
        highest = self.bottom - self.spacing * (len(side) - 1)
        settled = np.clip(in_order(np.array([spots[index][1] for index in side]) - steps), self.top, highest) + steps
        stands = {index: (x, float(y)) for index, y in zip(side, settled, strict=True)}
        while (pair := _first_crossing(side, stands, spots)) is not None:
            one, other = pair
            stands[one], stands[other] = stands[other], stands[one]
        return stands


def _first_crossing(side: list[int], stands: dict[int, Spot], spots: Sequence[Spot]) -> tuple[int, int] | None:
    for at, one in enumerate(side):
        for other in side[at + 1 :]:
            if crosses((stands[one], spots[one]), (stands[other], spots[other])):
                return one, other
    return None


def crosses(one: tuple[Spot, Spot], other: tuple[Spot, Spot]) -> bool:
    """Say whether two lines cross within both; touching ends do not count.

    >>> crosses(((0, 0), (2, 2)), ((0, 2), (2, 0))), crosses(((0, 0), (2, 2)), ((2, 2), (3, 0)))
    (True, False)
    """
    return _turn(*one, other[0]) * _turn(*one, other[1]) < 0 and _turn(*other, one[0]) * _turn(*other, one[1]) < 0


def _turn(start: Spot, end: Spot, point: Spot) -> float:
    """Return on which side of a line a point lies, by its sign; nought for what is on it but for rounding."""
    run, rise = end[0] - start[0], end[1] - start[1]
    area = run * (point[1] - start[1]) - rise * (point[0] - start[0])
    return area if abs(area) > 1e-9 else 0.0
