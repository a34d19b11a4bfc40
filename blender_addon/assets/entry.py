"""Where the asset library lies on this machine, and its entry in the host's preferences; loads nothing heavy."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy

from ..loading import EXTENSION

if TYPE_CHECKING:
    from bpy.types import Context

NAME = "Stampwright"
"""What the library is called in the preferences and the browser."""


def place() -> Path:
    """Return the folder of the library: the user's own, which stays when the extension is brought up to date.

    Each version of the host has its own, so that no version finds files that only a later one can read.
    """
    return Path(bpy.utils.extension_path_user(EXTENSION, path="assets"))


def entry(context: Context) -> Any:
    """Return the library's entry in the preferences, or None."""
    libraries: Any = context.preferences.filepaths.asset_libraries
    return next((each for each in libraries if each.path and Path(each.path) == place()), None)


def enter(context: Context) -> None:
    """Enter the library into the preferences, unless it is there."""
    if entry(context) is None:
        context.preferences.filepaths.asset_libraries.new(name=NAME, directory=str(place()))


def take_out(context: Context) -> None:
    """Take the library out of the preferences; its files stay."""
    held = entry(context)
    if held is not None:
        context.preferences.filepaths.asset_libraries.remove(held)
