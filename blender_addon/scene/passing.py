"""Things that are in the file for a while only, and the scene's settings as they were after that."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import bpy

KINDS = ("objects", "curves", "meshes", "materials", "images", "node_groups")
"""What is taken away again, users before what they use."""


@contextmanager
def only_for_a_while() -> Iterator[None]:
    """Take away in the end what is made meanwhile of objects and all that they are made of."""
    before = {kind: set(getattr(bpy.data, kind)) for kind in KINDS}
    try:
        yield
    finally:
        bpy.data.batch_remove([each for kind in KINDS for each in getattr(bpy.data, kind) if each not in before[kind]])


@contextmanager
def set_for_a_while(*settings: tuple[Any, str, Any]) -> Iterator[None]:
    """Have settings of owners, by name, at these values, and in the end as they were."""
    before = [(owner, name, getattr(owner, name)) for owner, name, _ in settings]
    try:
        for owner, name, value in settings:
            setattr(owner, name, value)
        yield
    finally:
        for owner, name, value in before:
            setattr(owner, name, value)
