"""Preflight: what of the artwork will not print, measured before anything is built, and its repair."""

from __future__ import annotations

from ..job.kinds import (
    DENSE_OUTLINE,
    FINE_CODE,
    FLOODING_COUNTER,
    HIGH_COVER,
    ISOLATED_DOT,
    KINDS,
    NARROW_GAP,
    SPECK,
    SPIKE,
    STRANGE_CODE,
    THIN_LINE,
    TOUCHING_CORNERS,
)
from .codes import MOST_SPREAD, check_codes
from .examining import examine
from .limits import PrintLimits
from .mending.choosing import spot_of
from .repairing import MENDED, NO_ROOM, Repair, can_mend, repair
from .widths.middles import MiddleLines, measure_gap_widths, measure_line_widths, narrowest_width

__all__ = [
    "DENSE_OUTLINE",
    "FINE_CODE",
    "FLOODING_COUNTER",
    "HIGH_COVER",
    "ISOLATED_DOT",
    "KINDS",
    "MENDED",
    "MOST_SPREAD",
    "NARROW_GAP",
    "NO_ROOM",
    "SPECK",
    "SPIKE",
    "STRANGE_CODE",
    "THIN_LINE",
    "TOUCHING_CORNERS",
    "MiddleLines",
    "PrintLimits",
    "Repair",
    "can_mend",
    "check_codes",
    "examine",
    "measure_gap_widths",
    "measure_line_widths",
    "narrowest_width",
    "repair",
    "spot_of",
]
