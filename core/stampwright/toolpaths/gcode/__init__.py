"""G-code, as filament printers use it: words, blocks, modes, arcs."""

from .reading import read_gcode

__all__ = ["read_gcode"]
