"""What a stamp was made from: its artwork, the SHA-256 of every file, and which of its settings were measured."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..errors import JobError
from .written.texts import described, fits

MOST_FILES = 1_000
"""Files that one stamp is made from."""

_SHA256 = re.compile("[0-9a-f]{64}")

MOST_MEASURED = 100
"""Settings of one job that are measured."""


@dataclass(frozen=True)
class Measured:
    """A setting that was measured and not assumed: its value with the likely range, in the setting's own unit.

    ``prints``: how many were measured; ``source``: the settings file.
    """

    setting: str
    value: float
    low: float
    high: float
    prints: int = 1
    source: str = ""


def as_measured(value: Any) -> tuple[Measured, ...]:
    """Return measured settings, from themselves or from tables as a job file keeps them; raises :class:`JobError`."""
    if not isinstance(value, list | tuple) or len(value) > MOST_MEASURED:
        raise JobError(f"measured takes a list of tables, {MOST_MEASURED} at most: setting, value, low, high, prints")
    return tuple(each if isinstance(each, Measured) else _as_measured(each) for each in value)


def _as_measured(table: Any) -> Measured:
    names = {"setting": str, "value": float, "low": float, "high": float, "prints": int, "source": str}
    if not isinstance(table, Mapping) or set(table) - set(names) or not {"setting", "value"} <= set(table):
        raise JobError(f"measured: {table!r} is not allowed; it takes {', '.join(names)}")
    figures = {"low": table["value"], "high": table["value"], **table}
    for name, kind in names.items():
        given = figures.get(name)
        if given is None:
            continue
        number = isinstance(given, int | float) and not isinstance(given, bool) and math.isfinite(given)
        if not (fits(given, "path") if kind is str and isinstance(given, str) else number and kind is not str):
            raise JobError(f"measured: {name} = {given!r} is not allowed")
        figures[name] = kind(given)
    return Measured(**figures)


def as_artwork(value: Any) -> str:
    """Return the name of a job's artwork file, empty for none; raises :class:`JobError`."""
    if not isinstance(value, str) or not fits(value, "path"):
        raise JobError(f"artwork = {value!r} is not allowed: it takes {described('path')}")
    return value


def as_made_from(value: Any) -> tuple[tuple[str, str], ...]:
    """Return files and their SHA-256 as pairs, from pairs or a table; raises :class:`JobError`.

    >>> as_made_from({"mark.svg": "0" * 64})[0][0]
    'mark.svg'
    """
    pairs = value.items() if isinstance(value, Mapping) else value
    if (not isinstance(pairs, list | tuple) and not isinstance(value, Mapping)) or len(pairs) > MOST_FILES:
        raise JobError("made_from takes a table: the name of each file, and its SHA-256")
    checked = []
    for pair in pairs:
        if not isinstance(pair, list | tuple) or len(pair) != 2:
            raise JobError("made_from takes a table: the name of each file, and its SHA-256")
        name, digest = pair
        if not isinstance(name, str) or not name or not fits(name, "path"):
            raise JobError(f"made_from names {name!r}; it takes {described('path')}")
        if not isinstance(digest, str) or not _SHA256.fullmatch(digest):
            raise JobError(f"made_from: {digest!r} is no SHA-256 of {name}; it has 64 digits, 0 to 9 and a to f")
        checked.append((name, digest))
    return tuple(checked)
