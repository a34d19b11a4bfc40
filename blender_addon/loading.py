"""The core's heavy rooms, loaded when they are first needed, with a clear word when a library cannot load."""

from __future__ import annotations

from importlib import import_module
from typing import Any

from .stampwright.errors import StampwrightError

EXTENSION = __package__ or "stampwright"
"""The extension's own name, under which the host keeps its preferences and its files."""

_state = {"missing": ""}


class LibraryMissing(StampwrightError):
    """A library that comes with the extension cannot be loaded on this machine."""


def load(name: str) -> Any:
    """Return a module of the extension by its name within it, such as ``building.orders``, or ``stampwright.output``.

    Raises :class:`LibraryMissing`.
    """
    try:
        module = import_module(f".{name}", __package__)
    except ImportError as error:
        _state["missing"] = (
            f"A library that comes with Stampwright cannot load here ({error}); install the package made for this "
            "system and Blender version again, then restart Blender"
        )
        raise LibraryMissing(_state["missing"]) from error
    _state["missing"] = ""
    return module


def what_is_missing() -> str:
    """Return what keeps a library from loading, as it was found when one was last needed, or nothing."""
    return _state["missing"]
