"""Pixels as marks: what of a raster is dark, and what of it hides the dark below."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...limits import beyond
from ...tracing import outline_below
from ..paints.colours import BLACK, WHITE
from ..placing.place import Place
from ..seeing.inking import HALF
from ..seeing.marks import Item, Painted
from ..source.document import Element
from .shaping import on_paper
from .sheet import Sheet

Tones = NDArray[np.float32]

STEPS = 12
"""Tones that a raster is painted in where it is to be screened; no screen of dots for a stamp holds as many."""


def raster_marks(
    sheet: Sheet, element: Element, place: Place, tones: tuple[Tones, Tones], finer: int = 1
) -> list[Item]:
    """Return a raster as a white mark where it shows light even over black, and a black one where it is dark on white.

    ``tones``: (rows, columns) each, luminance 0 to 1 over white and over black, top row first; between the two marks
    it lets through what lies below. ``place``: one user unit a pixel, y down, of the raster ``finer`` times
    coarser than these.
    """
    over_white, over_black = tones
    layers = [(HALF - over_black, WHITE), (over_white - HALF, BLACK)]
    if sheet.toned:
        # From light to dark, each step painted over the one before.
        steps = np.linspace(1, 0, STEPS, endpoint=False).tolist()
        greys = [step - 0.5 / STEPS for step in steps]
        layers[1:] = [(over_white - np.float32(step), (g, g, g, 1.0)) for step, g in zip(steps, greys, strict=True)]
    rows = over_white.shape[0]
    upright = place.moved((1.0, 0.0, 0.0, -1.0, 0.0, rows / finer))
    marks: list[Item] = []
    for height, colour in layers:
        if not (height < 0).any():
            continue
        region = outline_below(height, (1 / finer, 1 / finer))
        sheet.points += sum(len(ring.coords) for part in region.geoms for ring in (part.exterior, *part.interiors))
        if sheet.points > sheet.limits.most_points:
            raise beyond("most_points", f"the outlines of {element.described()} have more points", sheet.limits)
        marks.append(Painted(on_paper(region, upright.matrix), colour, place.clip))
    return marks
