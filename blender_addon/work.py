"""A build under way in a thread of its own, which touches nothing of Blender's."""

from __future__ import annotations

import threading
import time
from typing import Any

from .stampwright.errors import Cancelled, StampwrightError
from .stampwright.memory import Memory

EARLY_READY = "examine"
"""The step before which die, backing and cushion are made."""


class Work:
    """One build: what it is to make, how far it has come, and what came of it."""

    def __init__(self, order: Any, building: Any, memory: Memory) -> None:
        self.order = order
        self.memory = memory
        self.step, self.share = "reading", 0.0
        self.is_early_ready = False
        self.is_early_shown = False
        self.is_watched = False
        self._building = building
        self._began = time.monotonic()
        self._stopped = False
        self._result: Any = None
        self._error: Exception | None = None
        self._thread = threading.Thread(target=self._run, name="stampwright build", daemon=True)

    def begin(self) -> None:
        """Start."""
        self._thread.start()

    @property
    def is_done(self) -> bool:
        """Whether it has come to an end, good or bad."""
        return not self._thread.is_alive()

    @property
    def seconds(self) -> float:
        """How long ago it began."""
        return time.monotonic() - self._began

    def stop(self) -> None:
        """Ask it to end at the next step."""
        self._stopped = True

    def wait(self) -> None:
        """Come back when it has ended."""
        self._thread.join()

    def result(self) -> Any:
        """Return the stamp; raises :class:`StampwrightError` when there is none."""
        if isinstance(self._error, StampwrightError):
            raise self._error
        if self._error is not None:
            raise StampwrightError(f"The stamp could not be built ({type(self._error).__name__}: {self._error})")
        return self._result

    def _run(self) -> None:
        try:
            self._result = self._building.make(self.order, self.memory, self._tell)
        except Exception as error:  # the thread must hand over whatever it was
            self._error = error

    def _tell(self, step: str, share: float) -> None:
        if self._stopped:
            raise Cancelled("Stopped; the stamp is as it was before")
        self.step, self.share = step, share
        if step == EARLY_READY:
            self.is_early_ready = True
