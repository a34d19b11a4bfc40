"""A sketch as pixels."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiLineString, Point, box
from shapely.geometry.base import BaseGeometry

from ...artwork.fonts import set_line
from ...looks.colours import rgb
from ...plane.overlays import common
from ...plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of
from ...plane.regions import filled_parts
from .marks import Area, Dot, DrawnLine, Fill, InSketch, Sketch, SketchMark, Spot, Words
from .wrapping import bundled_font, in_bundled_font

_BARE = 255  # tone of paper


def sketch_picture(sketch: Sketch, *, columns: int) -> NDArray[np.uint8]:
    """Return a drawing as a picture ``columns`` pixels wide: (rows, columns, 3) uint8, top row first.

    Words are set in the bundled font. Every mark is laid on as far as it covers each pixel.
    """
    scale = columns / sketch.width
    rows = max(1, round(sketch.height * scale))
    picture = np.full((rows, columns, 3), _BARE, dtype=np.uint8)
    height = rows / scale
    # Words of one colour that follow each other are laid on together: they are many, and small.
    for colour, marks in groupby(sketch.marks, lambda mark: mark.colour if isinstance(mark, Words) else None):
        for mark in marks if colour is None else ():
            _lay_on(picture, _region_of(mark, height), _colour_of(mark), scale)
        if colour is not None:
            said = shapely.get_parts([_region_of(mark, height) for mark in marks])
            _lay_on(picture, shapely.multipolygons(said), colour, scale)
    return picture


def _lay_on(picture: NDArray[np.uint8], upright: BaseGeometry, colour: str, scale: float) -> None:
    """Lay a region on a picture, ``scale`` pixels to a millimetre, mm from its lower left corner."""
    height, width = picture.shape[0] / scale, picture.shape[1] / scale
    left, bottom, right, top = upright.bounds
    if not (left >= 0.0 and bottom >= 0.0 and right <= width and top <= height):
        upright = common(upright, box(0.0, 0.0, width, height))
    region = filled_parts(upright)
    if region.is_empty:
        return
    dpi = scale * MM_PER_INCH
    shape, corner = picture_grid(region.bounds, dpi)
    tone = picture_of(region, shape, corner, dpi)
    column, row = (round(at * scale) for at in corner)
    first = picture.shape[0] - row - shape[0]
    part = picture[max(first, 0) : first + shape[0], column : column + shape[1]]
    tone = tone[max(-first, 0) :, : part.shape[1]]
    above = 255.0 * np.array(rgb(colour), dtype=np.float32)
    if (part == _BARE).all():
        # On bare paper there are no more colours than tones.
        part[:] = _mixed(np.full((_BARE + 1, 1), _BARE), np.arange(_BARE + 1), above)[tone]
    else:
        part[:] = _mixed(part, tone, above)


def _mixed(below: NDArray[Any], tone: NDArray[Any], colour: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Return a colour laid on others, (..., 3), as far as its tones, (...) from 0 for all of it to 255, say."""
    cover = np.float32(1.0) - tone[..., None] / np.float32(_BARE)
    mixed: NDArray[np.uint8] = (below + cover * (colour - below) + np.float32(0.5)).astype(np.uint8)
    return mixed


def _region_of(mark: SketchMark, height: float) -> BaseGeometry:
    """Return what a mark covers, mm from the lower left corner of a sketch of such a height.

    Upright like that, it is a region like those that stamps print.
    """
    match mark:
        case Area():
            return box(mark.left, height - mark.top - mark.height, mark.left + mark.width, height - mark.top)
        case Fill(frame=None):
            return affinity.affine_transform(mark.region, (1, 0, 0, -1, 0, height))
        case Fill(frame=InSketch(x, y, scale)):
            return affinity.affine_transform(mark.region, (scale, 0, 0, scale, x, height - y))
        case DrawnLine():
            upright = [(x, height - y) for x, y in mark.points]
            lines = MultiLineString([piece for piece in _dashed(upright, mark.dashes) if len(piece) > 1])
            return lines.buffer(mark.width / 2.0, cap_style="flat")
        case Dot():
            return Point(mark.x, height - mark.y).buffer(mark.radius)
        case Words():
            line = set_line(in_bundled_font(mark.said), bundled_font(), mark.size)
            start = mark.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * line.advance
            return affinity.translate(line.outlines, start, height - mark.y)


def _colour_of(mark: SketchMark) -> str:
    return mark.fill if isinstance(mark, Area | Fill | Dot) else mark.colour


def _dashed(points: Sequence[Spot], dashes: Sequence[float]) -> Iterator[list[Spot]]:
    """Yield the pieces of a line that are drawn."""
    if not dashes:
        yield list(points)
        return
    drawn, left, number = [points[0]], dashes[0], 0
    for (x, y), (to_x, to_y) in pairwise(points):
        length, gone = math.hypot(to_x - x, to_y - y), 0.0
        while length - gone > left:
            gone += left
            turn = (x + (to_x - x) * gone / length, y + (to_y - y) * gone / length)
            if number % 2 == 0:
                yield [*drawn, turn]
            number, drawn = number + 1, [turn]
            left = dashes[number % len(dashes)]
        left -= length - gone
        drawn.append((to_x, to_y))
    if number % 2 == 0:
        yield drawn
