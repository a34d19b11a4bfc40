"""What is shown at the moment: the last good sheet, and what is wrong with the files since."""

from __future__ import annotations

import threading
from dataclasses import asdict, dataclass, replace
from typing import Any


@dataclass(frozen=True)
class Shown:
    """A state of the page. ``number`` grows with every change; ``body``: HTML; ``trouble``: one line, or nothing."""

    number: int
    title: str
    body: str
    trouble: str = ""

    def as_record(self) -> dict[str, Any]:
        """Return plain data, for JSON."""
        return asdict(self)


class Board:
    """Holds what is shown, for one who writes and any number who wait for it to change."""

    def __init__(self, title: str) -> None:
        self._changed = threading.Condition()
        self._shown = Shown(0, title, "")

    def show(self, title: str, body: str) -> None:
        """Show a sheet; whatever was wrong is past."""
        self._put(replace(self._shown, title=title, body=body, trouble=""))

    def hold(self, trouble: str) -> None:
        """Say what is wrong over the last good sheet, which stays."""
        self._put(replace(self._shown, trouble=trouble))

    def shown_after(self, number: int, seconds: float) -> Shown:
        """Return what is shown as soon as its number is another than ``number``, or once that many seconds are over."""
        with self._changed:
            self._changed.wait_for(lambda: self._shown.number != number, seconds)
            return self._shown

    def _put(self, shown: Shown) -> None:
        with self._changed:
            self._shown = replace(shown, number=self._shown.number + 1)
            self._changed.notify_all()
