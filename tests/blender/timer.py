"""The host's timer, which calls by itself only in a window."""

import time


def tick_until_done(live, seconds=60.0):
    """Do what the host's timer does in a window, until nothing is due."""
    end = time.monotonic() + seconds
    while live.is_busy():
        assert time.monotonic() < end
        live._tick()
        time.sleep(0.005)
