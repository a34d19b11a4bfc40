"""A worker: a process of its own that makes stamps, watched for time and memory, and begun anew when it ends."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from typing import Any
from uuid import uuid4

from ...errors import OutputError
from .child import FULL, receive, send
from .one import Task
from .record import Record
from .stores import commit_record, open_store

BEGINNING = 120.0
"""Seconds that a process may take to begin: it loads libraries, from a network perhaps."""

TRIES = 2
"""How often a row is tried whose process ends by itself: the fault may be another's, as when memory runs short."""


@dataclass(frozen=True)
class WorkerLimits:
    """What one row may take: ``seconds``, and ``megabytes`` of memory beside what the program itself does."""

    seconds: float = 120.0
    megabytes: int = 2_000


class Worker:
    """One process that makes stamps; only one thread may use it."""

    def __init__(self, limits: WorkerLimits, module: str = f"{__package__}.child") -> None:
        self._limits, self._module = limits, module
        self._process: subprocess.Popen[bytes] | None = None
        self._closed = False

    def make(self, task: Task) -> Record:
        """Make a stamp and return its record.

        A row that takes more than it may, or breaks its process again and again, is recorded as stopped. Raises
        :class:`~stampwright.errors.OutputError` when the order's place cannot be written.
        """
        why = ""
        for _ in range(TRIES):
            task = replace(task, token=f"{task.order.name}.{uuid4().hex}")
            answer, why, final = self._answer(task)
            if isinstance(answer, Record):
                if answer.state == "stopped":
                    why, final = answer.why, True
                else:
                    return answer
            if final or self._closed:
                break
        record = Record("stopped", task.fingerprint, why=why)
        if not self._closed:
            commit_record(open_store(task.out), task.order.name, record, f"{task.token}.stopped")
        return record

    def close(self) -> None:
        """End the process, whatever it does."""
        self._closed = True
        self._end()

    def _answer(self, task: Task) -> tuple[Any, str, bool]:
        """Return what the process answers, or why it does not, and whether to leave it at that."""
        process = self._begun()
        try:
            with _watched(process, self._limits.seconds) as overdue:
                send(process.stdin, task)  # type: ignore[arg-type]
                answer = receive(process.stdout)  # type: ignore[arg-type]
        except (EOFError, OSError):
            code = self._end()
            if overdue.is_set():
                return None, f"took more than {self._limits.seconds:g} s", True
            return None, f"its process ended by itself ({_ended(code)})", False
        if isinstance(answer, Record):
            return answer, "", True
        kind, told = answer
        self._end()
        if kind == FULL:
            raise OutputError(told)
        return None, f"took more than {self._limits.megabytes:,} MB of memory", True

    def _begun(self) -> subprocess.Popen[bytes]:
        if self._process is None or self._process.poll() is not None:
            # Many processes share the processors already: libraries that would take all of them are told not to.
            alone = dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"), "1")
            self._process = subprocess.Popen(
                [sys.executable, "-m", self._module, str(self._limits.megabytes)],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                env={**os.environ, **alone},
            )
            with suppress(EOFError, OSError), _watched(self._process, BEGINNING):
                receive(self._process.stdout)  # type: ignore[arg-type]
        return self._process

    def _end(self) -> int:
        process, self._process = self._process, None
        if process is None:
            return 0
        process.kill()
        code = process.wait()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                try:
                    pipe.close()
                except OSError:
                    continue
        return code


@contextmanager
def _watched(process: subprocess.Popen[bytes], seconds: float) -> Iterator[threading.Event]:
    """Kill a process when it takes longer than it may, and tell so by the event that is given."""
    overdue = threading.Event()

    def stop() -> None:
        overdue.set()
        process.kill()

    timer = threading.Timer(seconds, stop)
    timer.start()
    try:
        yield overdue
    finally:
        timer.cancel()


def _ended(code: int) -> str:
    return f"signal {-code}" if code < 0 else f"exit code {code}"
