"""The inked, pressed face on paper: the picture it leaves and the outlines of its solid ink."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...plane.rasters.raster import MM_PER_INCH
from ..faces.seen import outlined
from ..impression import Impression, Pressing
from ..pushing.relief import Blocks, line_widths
from .ink import InkFilm, film_left, spread_past_edge, taken, tone_of_film

Tones = NDArray[np.float32]
Mask = NDArray[np.bool_]


def ink_impression(
    pressing: Pressing, ink: InkFilm, *, widths: Blocks | None = None, brief: bool = False
) -> Impression:
    """Return what a pressed face leaves on paper: solid, light as a tone, flooded gaps and a darker edge.

    Ink takes as far as pressure presses it into the paper's grain; where that is solid, the film that is squeezed out
    creeps past the edge, as far as pressure and film make it, and closes gaps that are narrower than that from both
    sides. The picture has the resolution of the pressed map. ``widths``: of the face's lines, where they are known.
    ``brief``: only the picture is looked at; it comes without outlines.
    """
    face = pressing.face
    pressed = np.flatnonzero(pressing.pressure)
    row, column = face.rows_and_columns(pressed)
    pressure = pressing.pressure.reshape(-1)[pressed].astype(np.float64)
    width = (line_widths(face) if widths is None else widths).at(row, column)
    solid = pressure >= ink.solid_from
    past_edge = spread_past_edge(pressure, width, ink)[solid]
    creep = float(past_edge.max(initial=0.0))
    border = math.ceil(creep / face.pitch) + 2
    rows, columns = (size + 2 * border for size in face.height.shape)
    place = (row + border) * columns + column + border
    inked = np.zeros(rows * columns, dtype=bool)
    inked[place[solid]] = True
    reach = np.zeros(rows * columns, dtype=np.float32)
    reach[place[solid]] = past_edge / face.pitch
    crept = _crept(inked.reshape(rows, columns), reach.reshape(rows, columns), border - 1)
    tone = crept.copy().reshape(-1)
    darkness = taken(pressure, ink) * tone_of_film(film_left(pressure, width, ink), ink)
    tone[place] = np.where(solid, darkness, np.maximum(darkness, tone[place]))
    corner = (face.corner[0] - border * face.pitch, face.corner[1] - border * face.pitch)
    picture = (255.5 - 255.0 * tone.reshape(rows, columns)).astype(np.uint8)[::-1]
    return Impression(
        outlines=MultiPolygon() if brief else _outlined(inked.reshape(rows, columns), crept, corner, face.pitch),
        picture=np.ascontiguousarray(picture),
        dpi=MM_PER_INCH / face.pitch,
        corner=corner,
        creep=creep,
    )


def _outlined(inked: Mask, crept: Tones, corner: tuple[float, float], pitch: float) -> MultiPolygon:
    return outlined(np.where(inked, 1.0, crept) - 0.5, corner, pitch)


def _crept(inked: Mask, reach: Tones, border: int) -> Tones:
    """Return how much of each pixel beside the inked ones is covered by ink that crept there, 0 to 1.

    ``reach``: how far it creeps from each inked pixel's edge, pixels, at most ``border`` - 1. Ink covers a disk round
    every pixel at the edge; one step of the loop shifts all of them at once.
    """
    inner = inked[1:-1, 1:-1]
    buried = inked[:-2, 1:-1] & inked[2:, 1:-1] & inked[1:-1, :-2] & inked[1:-1, 2:]
    edge = np.flatnonzero(np.pad(inner & ~buried, 1))
    far = reach.reshape(-1)[edge]
    covered = np.zeros(inked.size, dtype=np.float32)
    columns = inked.shape[1]
    for down in range(-border, border + 1):
        for along in range(-border, border + 1):
            away = math.hypot(down, along)
            if away == 0.0 or away >= border + 1:
                continue
            # From the middle of an edge pixel, ink reaches half a pixel plus its reach; a pixel is one across.
            cover = far + np.float32(1.0 - away)
            here = np.flatnonzero(cover > 0.0)
            target = edge[here] + (down * columns + along)
            covered[target] = np.maximum(covered[target], np.minimum(cover[here], 1.0))
    covered.reshape(inked.shape)[inked] = 0.0
    return covered.reshape(inked.shape)
