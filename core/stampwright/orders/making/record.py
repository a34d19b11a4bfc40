"""What is known of a stamp that was made, or not: a file in its folder, by which it is never made twice."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any, Literal

FORMAT_VERSION = 1
"""Raised when an entry changes its meaning: what was made before is then made again."""

FILE = "made.json"
"""The name of the record; a folder without one is not whole."""

State = Literal["made", "blocked", "stopped"]

STATES: dict[State, str] = {
    "made": "made, and proven from its file",
    "blocked": "not made: a finding blocks it, or what it is made of does",
    "stopped": "not made: it took more time or memory than it may, or broke its process; it is tried again",
}
"""How it ended with a row, and what that says."""


@dataclass(frozen=True)
class PartMade:
    """One printed part.

    ``file``: its STL file; ``material``: its key; ``mass``: g; ``cost``: of its filament; ``printed``: volume of
    that, mm³; ``layer``, ``line``: height and width of a line, mm; ``height``: of the part, mm; ``brim``: mm;
    ``outline``: what it stands over, as corners in mm, never less than it.
    """

    name: str
    file: str
    material: str
    mass: float
    cost: float
    printed: float
    layers: int
    layer: float
    line: float
    height: float
    brim: float
    outline: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Record:
    """How it ended with a row.

    ``why``: what kept it from being made; ``findings``: kind, severity, message and remedy of each; ``likeness``: of
    the print to the art, in words; ``size``: of the impression, mm; ``minutes``: of printing; ``parts``; ``files``:
    SHA-256 of every other file in the folder, by name;
    ``ways``: what would make it pass, each tried, in words, None where nobody looked for it.
    """

    state: State
    fingerprint: str
    why: str = ""
    findings: tuple[Mapping[str, str], ...] = ()
    likeness: str = ""
    size: tuple[float, float] = (0.0, 0.0)
    minutes: float = 0.0
    parts: tuple[PartMade, ...] = ()
    files: Mapping[str, str] = field(default_factory=dict)
    ways: tuple[str, ...] | None = None

    @property
    def mass(self) -> float:
        """Mass of all parts, g."""
        return sum(part.mass for part in self.parts)

    @property
    def cost(self) -> float:
        """Cost of the filament, in the currency of the job."""
        return sum(part.cost for part in self.parts)


def record_bytes(record: Record) -> bytes:
    """Return a record as its file holds it; the same record gives the same bytes."""
    told = {"format": FORMAT_VERSION, **asdict(record)}
    return (json.dumps(told, indent=1, ensure_ascii=False, sort_keys=True) + "\n").encode("utf-8", "replace")


def record_from(content: bytes | None) -> Record | None:
    """Return the record in a file's bytes, or None when there is none that this program wrote."""
    if content is None:
        return None
    try:
        told = json.loads(content)
        if told.pop("format") != FORMAT_VERSION or told["state"] not in STATES:
            return None
        parts = tuple(_part(part) for part in told.pop("parts"))
        lists = {name: tuple(told[name]) for name in ("size", "findings", "ways") if told.get(name) is not None}
        return Record(**{**told, **lists, "parts": parts})
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return None


def _part(told: dict[str, Any]) -> PartMade:
    return PartMade(**{**told, "outline": tuple((x, y) for x, y in told["outline"])})


def in_short(said: Sequence[str], most: int) -> str:
    """Return the first of what is said, at most so many, and how many more there are.

    >>> in_short(["thin line", "island", "speck"], 2)
    'thin line; island; and 1 more'
    """
    more = (f"and {len(said) - most} more",) if len(said) > most else ()
    return "; ".join((*said[:most], *more))
