"""When files change: told by the system where a library for that is installed, otherwise by looking again and again."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

WATCHER = "watchfiles"
"""The library, an extra (stampwright[watch])."""

LOOKING = 0.3
"""Seconds from look to look without it."""

SETTLING = 150
"""Milliseconds in which changes that follow each other count as one: editors write files in several steps."""


def changes(paths: Sequence[Path], *, by_system: bool = True) -> Iterator[None]:
    """Yield at once, and then whenever one of some files has changed, come, gone, or been put in another's place.

    ``by_system``: let the system tell, where the library is installed; network folders may need it otherwise. It goes
    on until whoever takes from it stops.
    """
    try:
        # Most who make stamps watch nothing.
        from watchfiles import watch  # noqa: PLC0415
    except ImportError:
        by_system = False
    files = sorted({other for path in paths for other in (os.path.abspath(path), os.path.realpath(path))})
    if not by_system:
        yield from _looked_for(files)
        return
    # Folders are watched, not files: editors put a new file in the old one's place.
    folders = sorted({os.path.dirname(file) for file in files if os.path.isdir(os.path.dirname(file))})
    before = _state_of(files)
    yield
    wanted = set(files)
    told = watch(
        *folders,
        watch_filter=lambda _, path: os.path.abspath(path) in wanted,
        debounce=10 * SETTLING,
        step=SETTLING,
        recursive=False,
        yield_on_timeout=True,
        rust_timeout=1000,
    )
    for each in told:
        # What changed before the system was asked is seen on the first look.
        now = _state_of(files)
        if each or now != before:
            yield
        before = now


def _looked_for(files: Sequence[str]) -> Iterator[None]:
    before = _state_of(files)
    yield
    while True:
        time.sleep(LOOKING)
        now = _state_of(files)
        if now != before:
            yield
        before = now


def _state_of(files: Sequence[str]) -> list[tuple[int, int, int] | None]:
    """Return for each file what changes when it does, None for one that is not there."""
    states: list[tuple[int, int, int] | None] = []
    for file in files:
        try:
            found = os.stat(file)
        except OSError:
            states.append(None)
        else:
            states.append((found.st_mtime_ns, found.st_size, found.st_ino))
    return states
