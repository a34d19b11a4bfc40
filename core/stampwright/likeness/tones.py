"""Screened art compared by tone: dots that meet are a darker tone to a reader, not parts that ran together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from ..plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of

CELL = 2.0
"""Side of the squares over which tone is taken, mm: a few dots of any screen that a stamp prints, and at reading
distance small enough that a reader sees no step of tone within it (assumed)."""


@dataclass(frozen=True)
class ToneLikeness:
    """How much darker than drawn a screen prints: ink cover in squares of :data:`CELL`, in print less in the art.

    ``mean``: over all squares that have ink; ``most``: the largest either way; both -1 to 1.
    """

    mean: float
    most: float


def compare_tones(printed: MultiPolygon, drawn: MultiPolygon) -> ToneLikeness:
    """Compare the tone of what was printed with that of the screen as drawn; both mm, paper frame.

    >>> import shapely
    >>> line, broader = (shapely.multipolygons([shapely.box(0, 0, 2, high)]) for high in (1.0, 1.5))
    >>> round(compare_tones(broader, line).mean, 2)
    0.25
    """
    if drawn.is_empty and printed.is_empty:
        return ToneLikeness(0.0, 0.0)
    left, bottom, right, top = shapely.total_bounds([printed, drawn]).tolist()
    dpi = MM_PER_INCH / CELL
    shape, corner = picture_grid((left, bottom, right, top), dpi)
    # A pixel's tone is the share of it that is covered.
    print_, art = (1.0 - picture_of(region, shape, corner, dpi) / 255.0 for region in (printed, drawn))
    darker = (print_ - art)[(print_ > 0) | (art > 0)]
    return ToneLikeness(float(darker.mean()), float(darker[np.abs(darker).argmax()]))
