"""What things are called in files for other programs: as wanted, though something else of this file has that name."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import bpy

LONGEST = 63
"""Bytes of a name that every host takes."""


def title_of(name: str, what: str) -> str:
    """Return a name followed by what of it is meant, the name cut where both are too long for the host."""
    kept = name.encode()[: LONGEST - len(f" {what}".encode())].decode(errors="ignore").strip()
    return f"{kept} {what}".strip()


@contextmanager
def named_as_wanted() -> Iterator[Callable[[Any, str], None]]:
    """Yield what gives data a name for a while: whatever has that name goes by another until the end.

    The host would call the newcomer ``die.001``, and other programs would look for ``die`` in vain. What was given a
    name must be gone by the end.
    """
    moved: list[tuple[Any, str]] = []

    def give(each: Any, name: str) -> None:
        each.name = name
        if each.name == name:
            return
        held: Any = next(kind for kind in _kinds() if kind.get(each.name) == each)
        there = next(other for other in held if other.name == name and other.library is None)
        moved.append((there, name))
        there.name = title_of(name, "kept")
        each.name = name

    try:
        yield give
    finally:
        for there, name in reversed(moved):
            there.name = name


def _kinds() -> tuple[Any, ...]:
    return bpy.data.objects, bpy.data.meshes, bpy.data.materials, bpy.data.images
