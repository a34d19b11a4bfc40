"""Toolpaths: what the G-code of a die will print, seen before it is printed."""

from .examining import Examined, examine_toolpath
from .expected import Expected, expected_of
from .gcode import read_gcode
from .laid.beads import Beads, lay_beads, width_of
from .moves import Moves, ToldMoves, Toolpath
from .telling import told_of
from .timing import Duration, time_of

__all__ = [
    "Beads",
    "Duration",
    "Examined",
    "Expected",
    "Moves",
    "ToldMoves",
    "Toolpath",
    "examine_toolpath",
    "expected_of",
    "lay_beads",
    "read_gcode",
    "time_of",
    "told_of",
    "width_of",
]
