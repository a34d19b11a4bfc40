"""Preflight: what of the artwork will not print, measured before anything is built, and its repair."""

from __future__ import annotations

from ..job.kinds import (
    DENSE_OUTLINE,
    FLOODING_COUNTER,
    HIGH_COVER,
    ISOLATED_DOT,
    KINDS,
    NARROW_GAP,
    SPECK,
    SPIKE,
    THIN_LINE,
    TOUCHING_CORNERS,
)
from .examining import examine
from .limits import Limits
from .mending.choosing import spot_of
from .repairing import MENDED, Repair, can_mend, repair
from .widths.middles import MiddleLines, measure_gap_widths, measure_line_widths, narrowest_width

__all__ = [
    "DENSE_OUTLINE",
    "FLOODING_COUNTER",
    "HIGH_COVER",
    "ISOLATED_DOT",
    "KINDS",
    "MENDED",
    "NARROW_GAP",
    "SPECK",
    "SPIKE",
    "THIN_LINE",
    "TOUCHING_CORNERS",
    "Limits",
    "MiddleLines",
    "Repair",
    "can_mend",
    "examine",
    "measure_gap_widths",
    "measure_line_widths",
    "narrowest_width",
    "repair",
    "spot_of",
]
