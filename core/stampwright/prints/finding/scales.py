"""What says how large a picture is: the scanner, the edges of a sheet, a ruler or the ticket's bar beside the print."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...errors import PrintError
from ..testdie import Chart
from .impressions import Found
from .scans import Scan
from .views import View

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Scale:
    """What says how large a picture is.

    ``source``: in words. ``to_mm``: takes pixels, (n, 2), to true millimetres in some frame, (n, 2). ``error``: how far
    its lengths may be off, as a share.
    """

    source: str
    to_mm: Callable[[Floats], Floats]
    error: float

    def size_of(self, view: View, chart: Chart) -> tuple[float, float]:
        """Return the size of a print over that of its chart, across and up, between its marks."""
        upper_left, upper_right, lower_right, lower_left = self.to_mm(view.project(chart.marks))

        def apart(one: Floats, other: Floats) -> float:
            return float(np.hypot(*(one - other)))

        side = float(np.hypot(*(chart.marks[0] - chart.marks[1])))
        across = apart(upper_left, upper_right) + apart(lower_left, lower_right)
        up = apart(upper_left, lower_left) + apart(upper_right, lower_right)
        return across / (2 * side), up / (2 * side)


def scanned_scale(dpi: tuple[float, float]) -> Scale:
    """Return the scale of a scan at a resolution across and up; scanners feed true to a thousandth (assumed)."""
    pitch = np.array([25.4 / dpi[0], 25.4 / dpi[1]])
    return Scale(f"the scanner's {dpi[0]:.0f} dpi", lambda pixels: pixels * pitch, 0.001)


SOURCES = ("dpi", "stamp")
"""What a scale may be taken from."""


def find_scale(scan: Scan, found: Found, source: str = "") -> Scale | None:
    """Return what says how large a picture is; None where nothing does, or the print itself is to be taken for true.

    ``source``: one of ``SOURCES``; left out, the surest that there is. Raises
    :class:`~stampwright.errors.PrintError` when that source is not in the picture, or is none.
    """
    if source and source not in SOURCES:
        raise PrintError(f"--scale {source}: the scale is taken from {', '.join(SOURCES)}")
    if source == "stamp":
        return None
    del found
    if scan.dpi is not None and source in ("", "dpi"):
        return scanned_scale(scan.dpi)
    if source == "dpi":
        raise PrintError(f"{scan.name}: records no scanner's resolution; say it (--dpi)")
    return None
