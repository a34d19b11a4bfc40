"""What is under way in threads of their own, which touch nothing of Blender's."""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from ..building.benches import Took
from ..stampwright.errors import Cancelled, StampwrightError

if TYPE_CHECKING:
    from ..stampwright.memory import Memory, Progress

PAUSES = ("examine", "press")
"""Steps before which parts are made, which can be shown before the rest of the stamp is there."""

PATIENCE = 0.25
"""Seconds that a build waits for new parts to be shown. Python runs one thread at a time: side by side, showing and
building take several times as long."""


class LiveTask:
    """Something to be done beside Blender: how far it has come, and what came of it.

    ``do`` is called with what it shall tell its progress to, which raises ``Cancelled`` once the task is to stop.
    """

    failed, stopped = "It could not be done", "Stopped"

    def __init__(self, do: Callable[[Progress], Any]) -> None:
        self.step, self.share = "reading", 0.0
        self.is_watched = self._has_shown = False
        self._told: tuple[str, int] | None = None
        self._do = do
        self._began = time.monotonic()
        self._started = self._worked = 0.0
        self._stopped = False
        self._result: Any = None
        self._error: Exception | None = None
        self._thread = threading.Thread(target=self._run, name="stampwright", daemon=True)

    def begin(self) -> None:
        """Start."""
        self._thread.start()

    @property
    def is_done(self) -> bool:
        """Whether it has come to an end, good or bad."""
        return not self._thread.is_alive()

    @property
    def is_ready(self) -> bool:
        """Whether it has something to show."""
        return self.is_done

    @property
    def has_shown(self) -> bool:
        """Whether something of it has been shown."""
        return self._has_shown

    @property
    def seconds(self) -> float:
        """How long ago it began."""
        return time.monotonic() - self._began

    @property
    def worked(self) -> float:
        """How long its thread has worked, s; it must have ended."""
        return self._worked

    def has_news(self) -> bool:
        """Whether it is at another step, or a percent further, than when this was asked last."""
        told = self.step, round(100 * self.share)
        was, self._told = self._told, told
        return told != was

    def stop(self) -> None:
        """Ask it to end at the next step."""
        self._stopped = True

    def wait(self) -> None:
        """Come back when it has ended."""
        self._thread.join()

    def result(self) -> Any:
        """Return what was done; raises :class:`StampwrightError` when nothing was."""
        if isinstance(self._error, StampwrightError):
            raise self._error
        if self._error is not None:
            raise StampwrightError(f"{self.failed} ({type(self._error).__name__}: {self._error})")
        return self._result

    def _run(self) -> None:
        self._started = time.thread_time()
        try:
            self._result = self._do(self._tell)
        except Exception as error:  # the thread must hand over whatever it was
            self._error = error
        self._worked = time.thread_time() - self._started

    def _tell(self, step: str, share: float) -> None:
        if self._stopped:
            raise Cancelled(self.stopped)
        self.step, self.share = step, share


class Work(LiveTask):
    """One build: what it is to make, and which of its parts have been shown."""

    failed, stopped = "The stamp could not be built", "Stopped; the stamp is as it was before"

    def __init__(self, order: Any, building: Any, memory: Memory) -> None:
        super().__init__(lambda tell: building.make(order, memory, tell))
        self.order = order
        self.memory = memory
        self._building = building
        self._known = building.parts_in(memory)
        self._new: frozenset[str] = frozenset()
        self._first = math.inf
        self._is_waiting, self._looked_at = False, threading.Event()

    @property
    def is_ready(self) -> bool:
        """Whether it has something to show: new parts, or all."""
        return self.is_done or self._is_waiting

    @property
    def has_parts(self) -> bool:
        """Whether it waits for parts that it has made to be shown."""
        return self._is_waiting

    @property
    def new(self) -> frozenset[str]:
        """The names of the parts that it had made anew when it first had any to show."""
        return self._new

    def took(self) -> Took:
        """Return how long its thread has worked, without what it waited; it must have ended."""
        return Took(min(self._first, self._worked), self._worked)

    def go_on(self, *, shown: bool = True) -> None:
        """Have it go on: its parts have been shown, or shall not be before the rest is there."""
        self._has_shown = self._has_shown or shown
        # Its own thread may come to this only after the next look.
        self._is_waiting = False
        self._looked_at.set()

    def stop(self) -> None:
        """Ask it to end at the next step."""
        super().stop()
        self._looked_at.set()

    def _tell(self, step: str, share: float) -> None:
        super()._tell(step, share)
        if step in PAUSES:
            self._hand_over()

    def _hand_over(self) -> None:
        """Wait until the first parts that are new have been shown, but not for ever; others come with all the rest."""
        parts = self._building.parts_in(self.memory)
        new = frozenset(name for name in parts if parts[name] is not self._known[name])
        if new and not self._new:
            self._new, self._first = new, time.thread_time() - self._started
            self._is_waiting = True
            self._looked_at.wait(PATIENCE)
            self._is_waiting = False
