"""Printers: their beds, the filaments that they take and how fast they lay them, as a file has them."""

from __future__ import annotations

from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from ...errors import JobError, OrderError
from ...job.materials import MATERIALS
from ...job.sections.printing import PrinterSection
from ...job.written.tables import as_path, read_table
from ..beds.parts import Room

MOST = 200
"""Printers of one shop."""

MARGIN, CLEARANCE = 5.0, 3.0
"""Left free at a bed's edge, and between two parts, mm, where nothing else is told (assumed)."""

_LIMITS: dict[str, tuple[float, float]] = {
    "bed_width": (50.0, 2000.0),
    "bed_depth": (50.0, 2000.0),
    "bed_height": (50.0, 2000.0),
    "margin": (0.0, 100.0),
    "clearance": (0.2, 100.0),
    "speed_flexible": (1.0, 300.0),
    "speed_rigid": (1.0, 1000.0),
    "setup_minutes": (0.0, 1440.0),
}
"""Numbers of a printer, and what they may be."""


@dataclass(frozen=True)
class Printer:
    """One printer.

    ``bed_width``, ``bed_depth``, ``bed_height``: what it builds, mm; ``margin`` at the edge, ``clearance`` between
    parts, mm; ``speed_flexible``, ``speed_rigid``: mm/s; ``setup_minutes``: from bed to bed; ``materials``: keys of
    those that it takes, none for all.
    """

    name: str
    bed_width: float = 220.0
    bed_depth: float = 220.0
    bed_height: float = 250.0
    margin: float = MARGIN
    clearance: float = CLEARANCE
    speed_flexible: float = 20.0
    speed_rigid: float = 60.0
    setup_minutes: float = 10.0
    materials: tuple[str, ...] = ()

    @property
    def room(self) -> Room:
        """Its bed."""
        return Room(self.bed_width, self.bed_depth, self.margin, self.clearance)

    def prints(self, material: str) -> bool:
        """Whether it takes a material, by its key."""
        return not self.materials or material in self.materials


def printer_of(section: PrinterSection) -> Printer:
    """Return the printer that a job is for."""
    return Printer(
        "printer",
        section.bed_width,
        section.bed_depth,
        section.bed_height,
        speed_flexible=section.speed_flexible,
        speed_rigid=section.speed_rigid,
    )


def read_printers(path: str | Path) -> tuple[Printer, ...]:
    """Return the printers in a file, TOML or JSON: a table ``[[printers]]`` for each, as :class:`Printer` has them.

    ``count`` stands for as many alike, numbered. Raises :class:`~stampwright.errors.OrderError` when it cannot be read
    or says what no printer has.
    """
    try:
        data = read_table(as_path(path, "the printers' file"), "a file of printers")
        tables = data.get("printers") if isinstance(data, dict) else None
        if not isinstance(tables, list) or not tables:
            raise JobError("it takes a table [[printers]] for each printer")
        found = [printer for number, table in enumerate(tables, 1) for printer in _printers(table, number)]
    except JobError as error:
        raise OrderError(f"{path}: {error}") from error
    names = [printer.name.casefold() for printer in found]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise OrderError(f"{path}: two printers are called {twice!r}; give each a name of its own")
    if len(found) > MOST:
        raise OrderError(f"{path}: has {len(found)} printers; {MOST} at most")
    return tuple(found)


def _printers(table: Any, number: int) -> list[Printer]:
    where = f"printers[{number}]"
    if not isinstance(table, dict):
        raise JobError(f"{where} is a table, [[printers]]")
    values = dict(table)
    count = values.pop("count", 1)
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= MOST:
        raise JobError(f"{where}.count = {count!r} is not allowed: it takes a whole number from 1 to {MOST}")
    known = {each.name for each in fields(Printer)}
    for name, value in values.items():
        if name not in known:
            raise JobError(f"{where}: a printer has no {name!r}; it has {', '.join(sorted(known))} and count")
        if name in _LIMITS:
            values[name] = _number(f"{where}.{name}", value, *_LIMITS[name])
    materials = values.get("materials", [])
    if not isinstance(materials, list) or not all(isinstance(key, str) and key in MATERIALS for key in materials):
        raise JobError(f"{where}.materials = {materials!r} is not allowed: out of {', '.join(MATERIALS)}")
    name = values.get("name", f"printer {number}")
    if not isinstance(name, str) or not name.strip() or not name.isprintable() or len(name) > 60:
        raise JobError(f"{where}.name = {name!r} is not allowed: it takes a short text")
    values |= {"name": name.strip(), "materials": tuple(materials)}
    if 2 * values.get("margin", MARGIN) > min(values.get("bed_width", 220.0), values.get("bed_depth", 220.0)) - 10.0:
        raise JobError(f"{where}.margin leaves nothing of its bed; lower it")
    if count == 1:
        return [Printer(**values)]
    return [Printer(**{**values, "name": f"{values['name']} {each}"}) for each in range(1, count + 1)]


def _number(path: str, value: Any, low: float, high: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise JobError(f"{path} = {value!r} is not allowed: it takes a number from {low:g} to {high:g}")
    return float(value)
