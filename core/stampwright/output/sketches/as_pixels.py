"""A sketch as pixels."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiLineString, Point, box
from shapely.geometry.base import BaseGeometry

from ...artwork.fonts import set_line
from ...looks.colours import rgb
from ...plane.overlays import common
from ...plane.rasters.raster import MM_PER_INCH, picture_grid, picture_of
from ...plane.regions import filled_parts
from .marks import Area, Dot, DrawnLine, Fill, Sketch, SketchMark, Spot, Words
from .wrapping import bundled_font, in_bundled_font


def sketch_picture(sketch: Sketch, *, columns: int) -> NDArray[np.uint8]:
    """Return a drawing as a picture ``columns`` pixels wide: (rows, columns, 3) uint8, top row first.

    Words are set in the bundled font. Every mark is laid on as far as it covers each pixel.
    """
    scale = columns / sketch.width
    rows = max(1, round(sketch.height * scale))
    picture = np.full((rows, columns, 3), 255, dtype=np.uint8)
    for mark in sketch.marks:
        _lay_on(picture, mark, scale)
    return picture


def _lay_on(picture: NDArray[np.uint8], mark: SketchMark, scale: float) -> None:
    """Lay a mark on a picture, ``scale`` pixels to a millimetre."""
    # Upright, with the origin in the lower left corner, a mark is a region like those that stamps print.
    height, width = picture.shape[0] / scale, picture.shape[1] / scale
    upright = affinity.affine_transform(_region_of(mark), (1, 0, 0, -1, 0, height))
    left, bottom, right, top = upright.bounds
    if not (left >= 0.0 and bottom >= 0.0 and right <= width and top <= height):
        upright = common(upright, box(0.0, 0.0, width, height))
    region = filled_parts(upright)
    if region.is_empty:
        return
    dpi = scale * MM_PER_INCH
    shape, corner = picture_grid(region.bounds, dpi)
    cover = np.float32(1.0) - picture_of(region, shape, corner, dpi)[..., None] / np.float32(255.0)
    column, row = (round(at * scale) for at in corner)
    first = picture.shape[0] - row - shape[0]
    part = picture[max(first, 0) : first + shape[0], column : column + shape[1]]
    cover = cover[max(-first, 0) :, : part.shape[1]]
    part[:] = part + cover * (_rgb(mark) - part) + np.float32(0.5)


def _region_of(mark: SketchMark) -> BaseGeometry:
    """Return what a mark covers, mm from the upper left corner."""
    match mark:
        case Area():
            return box(mark.left, mark.top, mark.left + mark.width, mark.top + mark.height)
        case Fill():
            return mark.region
        case DrawnLine():
            lines = MultiLineString([piece for piece in _dashed(mark.points, mark.dashes) if len(piece) > 1])
            return lines.buffer(mark.width / 2.0, cap_style="flat")
        case Dot():
            return Point(mark.x, mark.y).buffer(mark.radius)
        case Words():
            line = set_line(in_bundled_font(mark.said), bundled_font(), mark.size)
            start = mark.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * line.advance
            return affinity.affine_transform(line.outlines, (1, 0, 0, -1, start, mark.y))


def _rgb(mark: SketchMark) -> NDArray[np.float32]:
    return 255.0 * np.array(rgb(mark.fill if isinstance(mark, Area | Fill | Dot) else mark.colour), dtype=np.float32)


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
