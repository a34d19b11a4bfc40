"""The process that makes stamps one after the other, as it is told through a pipe; it ends when its parent does.

Run as a module by :mod:`.workers`. What comes in and goes out are pickles, each with its length before it.
"""

from __future__ import annotations

import os
import pickle
import queue
import sys
import threading
from datetime import UTC, datetime
from typing import Any, BinaryIO

from ...errors import OutputError
from ...memory import Memory
from .one import Task, make_one
from .record import Record
from .stores import open_store

READY, MEMORY, FULL = "ready", "memory", "full"
"""What an answer says beside a record: that the first task may come, that memory ran out, or that the order's place
cannot be written."""

_MB = 1 << 20


def main(arguments: list[str]) -> int:
    """Make whatever comes; ``arguments``: MB of memory that it may take besides what the program itself does."""
    tasks, answers = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    # What a library prints must not come among the answers.
    os.dup2(2, 1)
    limit_memory(int(arguments[0]))
    waiting: queue.Queue[Task] = queue.Queue()
    threading.Thread(target=_listen, args=(tasks, waiting), daemon=True).start()
    memory, store = Memory(), None
    # What loading takes is no row's doing.
    send(answers, READY)
    while True:
        task = waiting.get()
        if store is None or store.address != task.out:
            store = open_store(task.out)
        # Libraries that date what they write take the order's day, on whichever machine this is.
        os.environ["SOURCE_DATE_EPOCH"] = str(int(datetime(*task.day.timetuple()[:3], tzinfo=UTC).timestamp()))
        try:
            answer: Any = make_one(task, store, memory)
        except OutputError as error:
            answer = (FULL, str(error))
        except MemoryError:
            answer = (MEMORY, "")
        except Exception as error:
            # One row that is too much for the program must not end the others.
            told = f"a fault of this program, not of yours ({type(error).__name__}: {error}); please report it"
            answer = Record("stopped", task.fingerprint, why=" ".join(told.split()))
        send(answers, answer)


def limit_memory(megabytes: int) -> None:
    """Let this process take so much memory besides what it has, where the system can be told so."""
    try:
        # Not every system has it.
        import resource  # noqa: PLC0415

        with open("/proc/self/statm", "rb") as told:
            taken = int(told.read().split()[0]) * resource.getpagesize()
        _, most = resource.getrlimit(resource.RLIMIT_AS)
        wanted = taken + megabytes * _MB
        resource.setrlimit(resource.RLIMIT_AS, (wanted if most < 0 else min(wanted, most), most))
    except (ImportError, OSError, ValueError):
        return


def send(stream: BinaryIO, thing: Any) -> None:
    """Write a thing into a pipe."""
    content = pickle.dumps(thing)
    stream.write(len(content).to_bytes(8, "little") + content)
    stream.flush()


def receive(stream: BinaryIO) -> Any:
    """Read a thing from a pipe; raises :class:`EOFError` when there will be none."""
    head = stream.read(8)
    content = stream.read(int.from_bytes(head, "little")) if len(head) == 8 else b""
    if not content:
        raise EOFError
    return pickle.loads(content)


def _listen(tasks: BinaryIO, waiting: queue.Queue[Task]) -> None:
    try:
        while True:
            waiting.put(receive(tasks))
    except (EOFError, OSError):
        # The parent has ended, killed perhaps: nobody waits for what is being made.
        os._exit(1)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
