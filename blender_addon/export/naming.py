"""Where a stamp's files go: a folder of its own, named as the stamp is, no two alike on any system."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import bpy

from ..stampwright.errors import OutputError

if TYPE_CHECKING:
    from bpy.types import Object

PLAIN = "stamp"
"""Name for a stamp whose own has no letter that a folder may have."""

LONGEST = 120
"""Bytes of a folder's name: systems take 255, of which its number and the files being written have their share."""

NO_FOLDERS = {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(1, 10))}
"""Names that Windows keeps for devices."""


def place_given(directory: str) -> Path:
    """Return the folder that was chosen, whole; raises :class:`OutputError` when it is not clear where that is."""
    if not directory:
        raise OutputError("There is no folder to write to: give one")
    is_whole = Path(directory).is_absolute() and not directory.startswith("//")
    if not is_whole and not bpy.data.filepath:
        raise OutputError(
            f"{directory} is beside the Blender file, which is not saved yet: save it, or give a full path"
        )
    # What is not whole counts from the file, never from where Blender happened to be started.
    beside = directory if is_whole or directory.startswith("//") else f"//{directory}"
    return Path(bpy.path.abspath(beside)).resolve()


def folders_of(roots: Sequence[Object], place: Path) -> list[Path]:
    """Return the folder for each stamp in the place that was chosen, or that itself where it bears its name."""
    names = folder_names(bpy.context.scene.objects)
    own = [names.get(root.session_uid, PLAIN) for root in roots]
    return [place if place.name.casefold() == name.casefold() else place / name for name in own]


def folder_names(objects: Iterable[Object]) -> dict[int, str]:
    """Return a name for the folder of each stamp among objects, by its session number, no two alike on any system."""
    names: dict[int, str] = {}
    taken: set[str] = set()
    for root in (each for each in objects if each.stampwright.role == "stamp"):
        kept = as_file_name(root.stampwright.job_name)
        name, number = kept, 2
        while name.casefold() in taken:
            name, number = f"{kept} {number}", number + 1
        taken.add(name.casefold())
        names[root.session_uid] = name
    return names


def as_file_name(name: str) -> str:
    """Return a name as a file or folder may have it on any system, letters of every language kept."""
    # One system composes accents, another takes them apart; signs of vowels are no letters of their own.
    composed = unicodedata.normalize("NFC", name)
    kept = "".join(letter if _is_plain(letter) else "_" for letter in composed).strip() or PLAIN
    kept = kept.encode()[:LONGEST].decode(errors="ignore").strip()
    return f"{kept}_" if kept.casefold() in NO_FOLDERS else kept


def _is_plain(letter: str) -> bool:
    return letter.isalnum() or letter in "-_ " or unicodedata.category(letter).startswith("M")
