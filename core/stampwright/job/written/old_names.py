"""What settings and choices of format 1 are called now, so that old job files and habits keep working."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from ...errors import JobError

SECTIONS = {"process": "printer"}
"""Sections of format 1 by their old name."""

OLD_SETTINGS: dict[str, str] = {
    "layout.rotation": "layout.turn",
    "ink.threshold": "ink.solid_from",
    "ink.pad_young": "ink.pad_stiffness",
    "press.hold": "press.turning",
    "press.dressed": "press.dressing_done",
    "press.bead_angle": "press.bead_turn",
    "press.bedding_young": "press.bedding_stiffness",
    "face.direction": "face.turn",
    "face.ruling": "face.screen_spacing",
    "face.angle": "face.screen_turn",
    "cushion.young": "cushion.stiffness",
    "handle.wall": "handle.hollow_wall",
    "tracing.level": "tracing.brightness",
    "tracing.sensitivity": "tracing.darker_by",
    "tracing.speck": "tracing.dust",
    "tracing.ruling": "tracing.screen_spacing",
    "tracing.angle": "tracing.screen_turn",
}
"""Settings of format 1 by their old path; those of a renamed section only where the setting itself was renamed."""

OLD_CHOICES: dict[str, dict[str, str]] = {
    "handle.form": {"lathe": "turned", "prism": "straight"},
    "press.turning": {"level": "none"},
    "preflight.accept": {"high cover": "high ink cover"},
    "press.solver": {"foundation": "quick"},
    "tracing.threshold": {"level": "fixed"},
}
"""Choices of format 1 by the path that the setting has now."""

VALUES: dict[str, Callable[[float], float]] = {"press.dressed": lambda share: 100.0 * share}
"""Settings of format 1 that held another figure for the same: old path, and the way to the new value."""


def current_path(path: str) -> str:
    """Return what a setting is called now.

    >>> current_path("process.nozzle"), current_path("handle.wall"), current_path("die.relief")
    ('printer.nozzle', 'handle.hollow_wall', 'die.relief')
    """
    section, dot, name = path.partition(".")
    path = f"{SECTIONS.get(section, section)}{dot}{name}"
    return OLD_SETTINGS.get(path, path)


def current_settings(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return settings, by path, under the names and with the values that they have now.

    Raises :class:`JobError` when one is given twice, under its old name and its new one.
    """
    current: dict[str, Any] = {}
    for old, value in values.items():
        path = current_path(old)
        if path in current:
            raise JobError(f"{old} is the old name of {path}, and both are given; leave {old} out")
        if old in VALUES and isinstance(value, int | float) and not isinstance(value, bool):
            current[path] = VALUES[old](value)
        elif path in OLD_CHOICES:
            current[path] = _current_choice(value, OLD_CHOICES[path])
        else:
            current[path] = value
    return current


def _current_choice(value: Any, choices: Mapping[str, str]) -> Any:
    """Return a choice, or a list of them, by the names that they have now."""
    if isinstance(value, list | tuple):
        return [_current_choice(each, choices) for each in value]
    return choices.get(value, value) if isinstance(value, str) else value


def current_piece(table: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a piece's table with its settings as they are called now.

    Round lettering had a ``position``, clockwise from the top, beside its turn; both turn it about the same point.
    Lettering had a list of ``lines``; its text may still be a list, which is easier to write in a file.
    Raises :class:`JobError` when both are given.
    """
    if table.get("kind") == "lettering":
        return _with_text(table)
    position = table.get("position")
    if table.get("kind") != "round lettering" or isinstance(position, bool) or not isinstance(position, int | float):
        return table
    turn = table.get("turn", 0.0)
    if isinstance(turn, bool) or not isinstance(turn, int | float) or not abs(position) <= 360.0:
        return table
    turned = turn - position
    # Whole turns come off, so that what was allowed before still is.
    turned -= 360.0 * int(turned / 360.0)
    return {name: value for name, value in table.items() if name != "position"} | {"turn": turned}


def _with_text(table: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return a table of lettering with its lines as one text."""
    given = [name for name in ("lines", "text") if name in table]
    if len(given) == 2:
        raise JobError("lines is the old name of text, and both are given; leave lines out")
    lines = table[given[0]] if given else None
    if isinstance(lines, list | tuple) and all(isinstance(line, str) and "\n" not in line for line in lines):
        lines = "\n".join(lines)
    kept = {name: value for name, value in table.items() if name not in given}
    return kept | {"text": lines} if given else table
