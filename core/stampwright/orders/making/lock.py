"""The lock of an order's folder: one run at a time, and who holds it since when."""

from __future__ import annotations

import getpass
import json
import os
import socket
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO, Any

from ...errors import OrderError, OutputError, reason_of
from .stores import LocalStore, Store

LOCK = ".lock"

STALE = 600.0
"""Seconds after which a lock in a place of another machine counts as left by a run that was killed."""


BEAT = 60.0
"""Seconds after which a run says again in such a place that it is there."""

Beat = Callable[[], None]
"""To be called now and then by whoever holds a lock, so that it does not count as left behind."""


@contextmanager
def locked(store: Store) -> Iterator[Beat]:
    """Hold the lock of an order's place and give the beat that keeps it.

    In a folder the system itself holds it, and lets it go when its process ends, however that ends. In other places it
    is a file, which a run that was killed leaves there: it counts for ten minutes. Raises :class:`OrderError` when
    another run holds it, with who that is and since when, and :class:`OutputError` when it cannot be written.
    """
    with _of_folder(store.folder) if isinstance(store, LocalStore) else _of_place(store) as beat:
        yield beat


@contextmanager
def _of_folder(folder: Path) -> Iterator[Beat]:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        # Opened without emptying it: it may say who holds it.
        file = os.fdopen(os.open(folder / LOCK, os.O_RDWR | os.O_CREAT, 0o644), "r+b", buffering=0)
    except OSError as error:
        raise OutputError(f"{folder}: cannot be written ({reason_of(error)}); name another folder") from error
    with file:
        if not _seize(file):
            raise OrderError(f"{folder}: is being worked in by {_owner(file.read())}; wait, or name another folder")
        # The system holds the lock; where a full disk has no room for who does, what is written first will tell of it.
        with suppress(OSError):
            file.truncate(0)
            file.write(_told())
        try:
            yield lambda: None
        finally:
            with suppress(OSError):
                file.truncate(0)


def _seize(file: IO[Any]) -> bool:
    """Take the system's lock on a file; it goes with the process."""
    try:
        if os.name == "nt":
            import msvcrt  # noqa: PLC0415

            file.seek(1 << 20)
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
            file.seek(0)
        else:
            import fcntl  # noqa: PLC0415

            fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


@contextmanager
def _of_place(store: Store) -> Iterator[Beat]:
    held = store.read(LOCK)
    if held and time.time() - _since(held) < STALE:
        raise OrderError(f"{store.address}: is being worked in by {_owner(held)}; wait, or name another place")
    mine = _told()
    store.write(LOCK, mine)
    if store.read(LOCK) != mine:
        raise OrderError(f"{store.address}: another run took it at the same moment; wait, or name another place")
    said = time.monotonic()

    def beat() -> None:
        nonlocal said
        if time.monotonic() - said > BEAT:
            said = time.monotonic()
            store.write(LOCK, _told())

    try:
        yield beat
    finally:
        store.remove(LOCK)


def _told() -> bytes:
    try:
        user = getpass.getuser()
    except (KeyError, OSError):
        user = "somebody"
    owner = {"user": user, "host": socket.gethostname(), "process": os.getpid(), "since": time.time()}
    return json.dumps(owner).encode()


def _since(held: bytes) -> float:
    try:
        return float(json.loads(held)["since"])
    except (ValueError, KeyError, TypeError):
        return 0.0


def _owner(held: bytes) -> str:
    try:
        told = json.loads(held)
        minutes = max(0, round((time.time() - float(told["since"])) / 60))
        return f"{told['user']} on {told['host']}, process {told['process']}, for {minutes} min"
    except (ValueError, KeyError, TypeError):
        return "another run"
