"""The core's heavy rooms, loaded when they are first needed, with a clear word when a library cannot load."""

from __future__ import annotations

import sys
from importlib import import_module
from typing import Any

from .stampwright.errors import StampwrightError

_state = {"missing": ""}


class LibraryMissing(StampwrightError):
    """A library that comes with the extension cannot be loaded on this machine."""


def building() -> Any:
    """Return the room that builds stamps; raises :class:`LibraryMissing`."""
    return _loaded(".building")


def building_if_loaded() -> Any:
    """Return the room that builds stamps, or None when nothing has been built yet."""
    return sys.modules.get(f"{__package__}.building")


def what_is_missing() -> str:
    """Return what keeps a library from loading, as it was found when one was last needed, or nothing."""
    return _state["missing"]


def bridge(room: str) -> Any:
    """Return a room of the bridge, such as ``drawing``; raises :class:`LibraryMissing`."""
    return _loaded(f".bridge.{room}")


def mockup(room: str) -> Any:
    """Return a room of the pictures, such as ``arrangements``; raises :class:`LibraryMissing`."""
    return _loaded(f".mockup.{room}")


def sculpting(room: str) -> Any:
    """Return a room of sculpting, such as ``session``; raises :class:`LibraryMissing`."""
    return _loaded(f".sculpting.{room}")


def core(room: str) -> Any:
    """Return a room of the core, such as ``workshop``; raises :class:`LibraryMissing`."""
    return _loaded(f".stampwright.{room}")


def _loaded(name: str) -> Any:
    try:
        room = import_module(name, __package__)
    except ImportError as error:
        _state["missing"] = (
            f"A library that comes with Stampwright cannot load here ({error}); install the package made for this "
            "system and Blender version again, then restart Blender"
        )
        raise LibraryMissing(_state["missing"]) from error
    _state["missing"] = ""
    return room
