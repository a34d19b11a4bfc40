"""What each stage made from what, so that making a stamp again costs only what has changed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

Made = TypeVar("Made")


class Memory:
    """The last result of each stage, with all that it was made from.

    A stage is a pure function, so equal beginnings give the same end: ``recall`` then hands the former result back,
    the very object. Beginnings are compared by ``==``: sections of a job by their figures, regions point by point,
    solids by identity.

    >>> memory = Memory()
    >>> first = memory.recall("double", (2,), lambda: [4])
    >>> memory.recall("double", (2,), lambda: [4]) is first
    True
    """

    def __init__(self) -> None:
        self._kept: dict[str, tuple[tuple[Any, ...], Any]] = {}

    def recall(self, stage: str, made_from: tuple[Any, ...], make: Callable[[], Made]) -> Made:
        """Return what ``make`` gives, without calling it when the stage was last made from the same."""
        kept = self._kept.get(stage)
        if kept is not None and kept[0] == made_from:
            former: Made = kept[1]
            return former
        result = make()
        self._kept[stage] = (made_from, result)
        return result

    def copy(self) -> Memory:
        """Return a memory of the same, to go on from beside a build that still uses this one."""
        twin = Memory()
        twin._kept = dict(self._kept)
        return twin

    def last(self, stage: str) -> Any:
        """Return what the stage made last, or None."""
        kept = self._kept.get(stage)
        return None if kept is None else kept[1]
