"""Prints of a test die, measured: what printer, ink and paper really do."""

from .gathering import Figure, MeasuredPrinter, gather
from .measuring import measure_prints
from .reading import PrintReading, read_print
from .settings_file import measured_as_data, settings_toml

__all__ = [
    "Figure",
    "MeasuredPrinter",
    "PrintReading",
    "gather",
    "measure_prints",
    "measured_as_data",
    "read_print",
    "settings_toml",
]
