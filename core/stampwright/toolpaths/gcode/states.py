"""Modes that a file saves and puts back: pieces of its text between such lines.

SAVE_GCODE_STATE and RESTORE_GCODE_STATE keep modes and where coordinates count from, by name; M120 and M121 the modes,
one on the other. The same codes switch the ends of axes on and off in other machines: where nothing was saved, nothing
is put back.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from .tracing import Modes, restored

SavedModes = Mapping[bytes, tuple[Modes, ...]]

_SAID = (b"GCODE_STATE", b"gcode_state", b"M120", b"M121")
_LINE = re.compile(rb"^[ \t]*(?:(SAVE|RESTORE)_GCODE_STATE\b([^;\r\n]*)|M12([01])\b)[^\r\n]*[\r\n]*", re.M | re.I)
_NAME = re.compile(rb"NAME[ \t]*=[ \t]*(\w+)", re.I)
_MOVE = re.compile(rb"MOVE[ \t]*=[ \t]*1", re.I)

MOST_LINES = 5_000
"""Lines that save modes or put them back; more than that no program writes."""


@dataclass(frozen=True)
class StateLine:
    """A line that saves modes under a name, or puts them back; ``moves``: whether the nozzle goes back, too."""

    saves: bool
    name: bytes
    places: bool
    moves: bool = False


def pieces_of(chunk: bytes) -> Iterator[tuple[bytes, StateLine | None]]:
    """Yield the pieces of a chunk of lines, each with the line on modes that ends it."""
    begin = 0
    if any(said in chunk for said in _SAID):
        for line in _LINE.finditer(chunk):
            yield chunk[begin : line.end()], _state_line(line)
            begin = line.end()
    yield chunk[begin:], None


def _state_line(line: re.Match[bytes]) -> StateLine:
    if line[3] is not None:
        return StateLine(line[3] == b"0", b"", places=False)
    name = _NAME.search(line[2])
    return StateLine(
        line[1].upper() == b"SAVE",
        name[1].lower() if name else b"default",
        places=True,
        moves=bool(_MOVE.search(line[2])),
    )


def put_back(line: StateLine, modes: Modes, saved: SavedModes) -> tuple[Modes, SavedModes]:
    """Return the modes after a line that saves them or puts them back, and what is saved then."""
    kept = saved.get(line.name, ())
    if line.saves:
        return modes, {**saved, line.name: (modes,) if line.places else (*kept, modes)}
    if not kept:
        return modes, saved
    back = restored(modes, kept[-1], places=line.places)
    # Gone back to where it stood, an axis is as it was.
    back = replace(back, axes=kept[-1].axes) if line.moves else back
    return back, saved if line.places else {**saved, line.name: kept[:-1]}
