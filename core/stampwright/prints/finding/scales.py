"""What says how large a picture is: the scanner, the edges of a sheet, a ruler or the ticket's bar beside the print."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...errors import PrintError
from ..testdie import Chart
from .impressions import Found
from .rulers import Ruled, find_bar, find_ruler
from .scans import Scan
from .sheets import SHEETS, PaperSheet, find_sheet
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


SOURCES = ("dpi", "ruler", "bar", "a4", "letter", "stamp")
"""What a scale may be taken from, the surest first."""

_CUT = 0.005
"""How far a sheet's sides may be off, as a share: 1.5 mm of 297 mm (ISO 216)."""

_SQUARE = 0.03  # how far a print's two sides may differ, as a share: more, and it is another sheet
_SLANTED = 1.025  # times as many pixels to the mm at one mark as at another: no flatbed scanner's
_LIKELY = 0.06  # how far a print's size may be off at all


def scanned_so(scan: Scan, view: View, chart: Chart) -> str:
    """Return why a print was not scanned at the resolution that its file records; empty where it may have been.

    Programs write a resolution into files that no scanner made, or keep one after the picture was scaled.
    """
    if scan.dpi is None:
        return ""
    across, up = scanned_scale(scan.dpi).size_of(view, chart)
    densities = [view.pixels_per_mm((float(x), float(y))) for x, y in chart.marks]
    told = f"its file records {scan.dpi[0]:.0f} dpi"
    if max(densities) > _SLANTED * min(densities):
        return f"{told}, but it was seen at a slant, as no scanner does"
    if abs(float(np.log(across * up))) / 2 > _LIKELY or abs(float(np.log(across / up))) > _SQUARE:
        return (
            f"{told}, by which the print would be {100 * across:.0f} % as wide and {100 * up:.0f} % as high as its die"
        )
    return ""


def find_scale(scan: Scan, found: Found, view: View, source: str = "") -> Scale | None:
    """Return what says how large a picture is; None where nothing does, or the print itself is to be taken for true.

    ``view``: how the print lies in it. ``source``: one of ``SOURCES``; left out, the surest that there is. Raises
    :class:`~stampwright.errors.PrintError` when that source is not in the picture, or is none.
    """
    if source and source not in SOURCES:
        raise PrintError(f"--scale {source}: the scale is taken from {', '.join(SOURCES)}")
    if source == "stamp":
        return None
    if source in ("", "dpi") and scan.dpi is not None:
        if scanned_so(scan, view, found.chart):
            raise PrintError(
                f"{scan.name}: its file records {scan.dpi[0]:.0f} dpi, which the print does not bear out; say it "
                "(--dpi), or take the scale from elsewhere (--scale)"
            )
        return scanned_scale(scan.dpi)
    if source == "dpi":
        raise PrintError(f"{scan.name}: records no scanner's resolution; say it (--dpi)")
    for name, find in (("ruler", find_ruler), ("bar", find_bar)):
        ruled = find(scan, view, found.chart.size) if source in ("", name) else None
        if ruled is not None:
            told = "a ruler beside it" if name == "ruler" else "the bar of 10 mm beside it"
            return _ruled_scale(view, ruled, told)
    if source in ("", *SHEETS):
        scale = _sheet_scale(scan, found, view, [source] if source else list(SHEETS))
        if scale is not None:
            return scale
    if source:
        what = {"ruler": "no ruler with millimetres", "bar": "no bar of 10 mm"}.get(
            source, "not all four edges of a sheet"
        )
        raise PrintError(f"{scan.name}: {what} is seen in the picture; show it whole and flat beside the print")
    return None


def _ruled_scale(view: View, ruled: Ruled, told: str) -> Scale:
    factor = ruled.true / ruled.seen
    return Scale(told, lambda pixels: view.unproject(pixels) * factor, ruled.error)


def _sheet_scale(scan: Scan, found: Found, view: View, names: Sequence[str]) -> Scale | None:
    """Return the scale of the sheet that the print lies on: of the sizes named, the one that leaves it square."""
    middle = view.project(np.zeros((1, 2)))[0]
    sheet = find_sheet(scan, (float(middle[0]), float(middle[1])))
    if sheet is None:
        return None
    fits = []
    for name in names:
        for turn in (0, 1):
            scale = _on_sheet(sheet, name, turn)
            across, up = scale.size_of(view, found.chart)
            fits.append((abs(float(np.log(across / up))), abs(float(np.sqrt(across * up)) - 1.0), scale))
    lopsided, off, scale = min(fits, key=lambda each: each[0])
    return scale if lopsided < _SQUARE and off < _LIKELY else None


def _on_sheet(sheet: PaperSheet, name: str, turn: int) -> Scale:
    size = SHEETS[name]
    told = f"the edges of the sheet, {'A4' if name == 'a4' else 'Letter'}"
    return Scale(told, lambda pixels: sheet.places(pixels, size, turn), _CUT)
