"""The host's timer, which calls by itself only in a window."""

import importlib
import time

from names import MODULE


def tick_until_done(*rooms, seconds=60.0):
    """Do what the host's timer does in a window, until nothing is due in these rooms."""
    scheduler = importlib.import_module(f"{MODULE}.live.scheduler")
    end = time.monotonic() + seconds
    while any(room.is_busy() for room in rooms):
        assert time.monotonic() < end
        scheduler.tick()
        time.sleep(0.005)


class Windowed:
    """The host's own account of itself, as it is with a window."""

    def __init__(self, app):
        self._app = app

    background = False

    def __getattr__(self, name):
        return getattr(self._app, name)
