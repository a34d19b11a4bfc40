"""The impression of a set in colour: as pixels, and as regions of one colour each."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..artwork.colours import code_of
from ..inks import coloured_picture, mixed
from ..plane.overlays import common
from ..plane.rasters.raster import picture_grid, picture_of
from ..plane.regions import filled_parts

DPI = 600.0

LEAST = 1e-4
"""Area under which two inks over one another show no colour of their own, mm²."""

MARGIN = 1.0
"""Bare paper round the picture, mm."""


def set_picture(printed: Sequence[MultiPolygon], colours: Sequence[str], *, dpi: float = DPI) -> NDArray[np.uint8]:
    """Return what several inks print, one over the other, (rows, columns, 3) uint8, top row first.

    ``printed``: what each prints, mm, in printing order; ``colours``: of the inks. Raises
    :class:`~stampwright.errors.MeshFileError` when the picture would be too large.
    """
    left, bottom, right, top = shapely.total_bounds(list(printed))
    shape, corner = picture_grid((left - MARGIN, bottom - MARGIN, right + MARGIN, top + MARGIN), dpi)
    return coloured_picture([picture_of(region, shape, corner, dpi) for region in printed], colours)


def set_regions(printed: Sequence[MultiPolygon], colours: Sequence[str]) -> list[tuple[MultiPolygon, str]]:
    """Return regions and their colours, to be laid down one over the other, that show several inks printed.

    First come the inks themselves, then what lies under two of them, then under three, and so on.
    """
    alone: list[tuple[MultiPolygon, tuple[int, ...]]] = [(region, (at,)) for at, region in enumerate(printed)]
    every, deepest = list(alone), alone
    while deepest:
        deeper: list[tuple[MultiPolygon, tuple[int, ...]]] = []
        for region, inks in deepest:
            for at in range(inks[-1] + 1, len(printed)):
                shared = filled_parts(common(region, printed[at]))
                if shared.area > LEAST:
                    deeper.append((shared, (*inks, at)))
        every += deeper
        deepest = deeper
    return [(region, code_of(np.array(mixed([colours[at] for at in inks])))) for region, inks in every]
