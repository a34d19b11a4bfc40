"""The core's heavy rooms, loaded when they are first needed, with a clear word when a library cannot load."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from .stampwright.errors import StampwrightError


class LibraryMissing(StampwrightError):
    """A library that comes with the extension cannot be loaded on this machine."""


def building() -> Any:
    """Return the room that builds stamps; raises :class:`LibraryMissing`."""
    return _loaded(".building")


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
        return import_module(name, __package__)
    except ImportError as error:
        raise LibraryMissing(
            f"A library that comes with Stampwright cannot load here ({error}); install the package made for this "
            "system and Blender version again, then restart Blender"
        ) from error
