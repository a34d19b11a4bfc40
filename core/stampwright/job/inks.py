"""Inks: the tables ``[[inks]]`` of a job, one for each die of a set that prints a picture in several colours."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from difflib import get_close_matches
from typing import Any

from ..errors import JobError
from .settings import Setting, check_settings, setting
from .written.texts import described, fits

MOST_INKS = 8
"""Dies of one set: each is pressed in register with all before it, and every one adds its own error."""

_FOLDER = re.compile(r"[^\w-]+")
_RESERVED = re.compile(r"con|prn|aux|nul|(?:com|lpt)[\d¹²³]", re.IGNORECASE)
"""Names that a folder cannot have on every system (Microsoft, "Naming files, paths, and namespaces"; from memory)."""


@dataclass(frozen=True, kw_only=True)
class Ink:
    """One ink of a set: its own colour, what of the art it prints, when, and whether over the inks before it."""

    name: str = setting("ink", "Name of the ink, and of the folder of its die")
    colour: str = setting("#26407c", "Colour of the ink on white paper, as #rrggbb", text="colour")
    colours: tuple[str, ...] = setting(
        (), "Colours of the art that it prints, as #rrggbb; none takes those nearest to its own", kind="names"
    )
    layers: tuple[str, ...] = setting(
        (), "Layers or groups of a drawing that it prints, by name or id, whatever their colour", kind="names"
    )
    order: int = setting(
        0, "When it is printed, 1 first; 0 takes the lightest first, which dirties the pads least", low=0, high=100
    )
    laid: str = setting(
        "knock-out",
        "What the inks under it do where it prints",
        choices={
            "knock-out": "They leave its place open, but for the trap",
            "overprint": "They run on beneath it, where it fills a hole in one of them",
        },
    )

    def __post_init__(self) -> None:
        """Check every setting, and that names and colours are such; raises :class:`JobError`."""
        check_settings(self, "inks")
        if not folder_of(self.name):
            raise JobError(f"inks.name = {self.name!r} names no folder: it needs a letter or a digit")
        for colour in self.colours:
            if not fits(colour, "colour"):
                raise JobError(f"inks.colours of {self.name}: {colour!r} is not {described('colour')}")


INK_SETTINGS: dict[str, Setting] = {each.name: each.metadata["setting"] for each in fields(Ink)}
"""What is known of each setting of an ink, by name."""


def folder_of(name: str) -> str:
    """Return the name of the folder of an ink's die, which any system takes; empty where nothing is left of it.

    >>> folder_of("Pea green / 2")
    'Pea-green-2'
    """
    plain = _FOLDER.sub("-", name).strip("-_")[:60]
    return f"{plain}-ink" if _RESERVED.fullmatch(plain) else plain


def as_inks(value: Any) -> tuple[Ink, ...]:
    """Return inks as a tuple, from inks or plain tables.

    Raises :class:`JobError` when one is none, two share a name or a folder, or there are more than :data:`MOST_INKS`.
    """
    if isinstance(value, str | bytes | Mapping) or not isinstance(value, Iterable):
        raise JobError(f"inks takes a list of tables, one an ink, not {type(value).__name__}")
    given = list(value)
    if len(given) > MOST_INKS:
        raise JobError(f"inks has {len(given)} entries; a set takes {MOST_INKS} at most, each pressed in register")
    inks = tuple(_ink(each, number) for number, each in enumerate(given, start=1))
    folders = [folder_of(ink.name).casefold() for ink in inks]
    for number, folder in enumerate(folders):
        if folder in folders[:number]:
            first, second = inks[folders.index(folder)].name, inks[number].name
            raise JobError(f"inks {first!r} and {second!r} would come into one folder: give one another name")
    for number, ink in enumerate(inks):
        for other in inks[:number]:
            if ink.colour.lower() == other.colour.lower():
                raise JobError(
                    f"inks {other.name!r} and {ink.name!r} are both {ink.colour}: make them one ink, with the colours "
                    "of both, or give one another colour"
                )
    return inks


def inks_as_data(inks: tuple[Ink, ...]) -> list[dict[str, Any]]:
    """Return inks as plain tables; settings at their default are left out, but for name and colour."""
    tables = []
    for ink in inks:
        values = {each.name: (getattr(ink, each.name), each.default) for each in fields(ink)}
        tables.append(
            {
                name: list(value) if isinstance(value, tuple) else value
                for name, (value, usual) in values.items()
                if value != usual or name in ("name", "colour")
            }
        )
    return tables


def _ink(value: Any, number: int) -> Ink:
    where = f"inks[{number}]"
    if isinstance(value, Ink):
        return value
    if not isinstance(value, Mapping):
        raise JobError(f"{where} is a table of settings, not {type(value).__name__}")
    for name in value:
        if name not in INK_SETTINGS:
            nearest = get_close_matches(str(name), INK_SETTINGS, n=3, cutoff=0.5)
            hint = f"; nearest: {', '.join(nearest)}" if nearest else ""
            raise JobError(f"{where}: an ink has no setting {name!r}{hint}")
    try:
        return Ink(**value)
    except JobError as error:
        raise JobError(f"{where}: {error}") from error
