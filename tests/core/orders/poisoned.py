"""The process that makes stamps, with rows that hang, eat memory or kill it: run as a module in its place."""

import os
import signal
import sys
import time

from stampwright.orders.making import child

real = child.make_one


def poisoned(task, store, memory):
    """Make a stamp, unless its words are poison."""
    words = task.order.words
    if words == "HANG":
        while True:
            time.sleep(0.1)
    if words == "EAT":
        held = bytearray(1)
        while True:
            held += bytes(50_000_000)
    if words == "DIE":
        os.kill(os.getpid(), signal.SIGKILL)
    if words == "FAULT":
        raise ZeroDivisionError("on purpose")
    return real(task, store, memory)


if __name__ == "__main__":
    child.make_one = poisoned
    sys.exit(child.main(sys.argv[1:]))
