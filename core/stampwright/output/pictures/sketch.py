"""Plain drawings of areas, strokes, dots and words, as SVG or as pixels: mm from the upper left corner."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from html import escape
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiLineString, Point, box
from shapely.geometry.base import BaseGeometry

from ...artwork.fonts import Font, find_font, set_line
from ...artwork.fonts.case import BUNDLED_FAMILY
from ...job.texts import as_line
from ...looks.colours import INK, PAPER, rgb
from ...looks.typefaces import SANS, SERIF
from ...plane.raster import MM_PER_INCH, picture_grid, picture_of
from ...plane.regions import filled_parts
from ..paper.drawing import opening, text

Spot = tuple[float, float]


@dataclass(frozen=True)
class Area:
    """A filled rectangle."""

    left: float
    top: float
    width: float
    height: float
    fill: str


@dataclass(frozen=True)
class Stroke:
    """A line through points; ``dashes`` are lengths drawn and left out by turns; without any, all of it is drawn."""

    points: tuple[Spot, ...]
    colour: str
    width: float
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True)
class Dot:
    """A filled circle."""

    x: float
    y: float
    radius: float
    fill: str


@dataclass(frozen=True)
class Words:
    """One line of text: its base line begins, has its middle, or ends at (x, y)."""

    x: float
    y: float
    said: str
    size: float
    colour: str = INK
    anchor: Literal["start", "middle", "end"] = "start"
    heading: bool = False


@dataclass(frozen=True)
class Sketch:
    """A drawing: ``marks`` lie over each other in their order, on white."""

    width: float
    height: float
    marks: tuple[Area | Stroke | Dot | Words, ...]


def sketch_svg(sketch: Sketch, *, title: str) -> str:
    """Return a drawing as an SVG document, one unit a millimetre."""
    content = "\n".join(_as_element(mark) for mark in sketch.marks)
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n{opening(sketch.width, sketch.height)}\n'
        f"<title>{escape(as_line(title))}</title>\n"
        f'<rect width="{sketch.width}" height="{sketch.height:.3f}" fill="{PAPER}"/>\n{content}\n</svg>\n'
    )


def sketch_picture(sketch: Sketch, *, columns: int) -> NDArray[np.uint8]:
    """Return a drawing as a picture ``columns`` pixels wide: (rows, columns, 3) uint8, top row first.

    Words are set in the bundled font. Every mark is laid on as far as it covers each pixel.
    """
    scale = columns / sketch.width
    rows = max(1, round(sketch.height * scale))
    picture = np.full((rows, columns, 3), 255.0)
    for mark in sketch.marks:
        _lay_on(picture, mark, scale)
    return (picture + 0.5).astype(np.uint8)


def _as_element(mark: Area | Stroke | Dot | Words) -> str:
    match mark:
        case Area():
            box = f'x="{mark.left:.3f}" y="{mark.top:.3f}" width="{mark.width:.3f}" height="{mark.height:.3f}"'
            return f'<rect {box} fill="{mark.fill}"/>'
        case Stroke():
            line = " ".join(f"{x:.3f},{y:.3f}" for x, y in mark.points)
            dashes = f' stroke-dasharray="{" ".join(map(str, mark.dashes))}"' if mark.dashes else ""
            look = f'stroke="{mark.colour}" stroke-width="{mark.width}"{dashes}'
            return f'<polyline points="{line}" fill="none" {look}/>'
        case Dot():
            return f'<circle cx="{mark.x:.3f}" cy="{mark.y:.3f}" r="{mark.radius}" fill="{mark.fill}"/>'
        case Words():
            anchor = "" if mark.anchor == "start" else f' text-anchor="{mark.anchor}"'
            family = SERIF if mark.heading else SANS
            return text(mark.x, mark.y, mark.said, size=mark.size, fill=mark.colour, family=family, look=anchor)


def _lay_on(picture: NDArray[np.float64], mark: Area | Stroke | Dot | Words, scale: float) -> None:
    """Lay a mark on a picture, ``scale`` pixels to a millimetre."""
    # Upright, with the origin in the lower left corner, a mark is a region like those that stamps print.
    height, width = picture.shape[0] / scale, picture.shape[1] / scale
    upright = affinity.affine_transform(_region_of(mark), (1, 0, 0, -1, 0, height))
    region = filled_parts(upright.intersection(box(0.0, 0.0, width, height)))
    if region.is_empty:
        return
    dpi = scale * MM_PER_INCH
    shape, corner = picture_grid(region.bounds, dpi)
    cover = 1.0 - picture_of(region, shape, corner, dpi)[..., None] / 255.0
    left, bottom = (round(at * scale) for at in corner)
    top = picture.shape[0] - bottom - shape[0]
    part = picture[max(top, 0) : top + shape[0], left : left + shape[1]]
    cover = cover[max(-top, 0) :, : part.shape[1]]
    part += cover * (_rgb(mark) - part)


def _region_of(mark: Area | Stroke | Dot | Words) -> BaseGeometry:
    """Return what a mark covers, mm from the upper left corner."""
    match mark:
        case Area():
            return box(mark.left, mark.top, mark.left + mark.width, mark.top + mark.height)
        case Stroke():
            lines = MultiLineString([piece for piece in _dashed(mark.points, mark.dashes) if len(piece) > 1])
            return lines.buffer(mark.width / 2.0, cap_style="flat")
        case Dot():
            return Point(mark.x, mark.y).buffer(mark.radius)
        case Words():
            line = set_line(as_line(mark.said), _font(), mark.size)
            start = mark.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * line.advance
            return affinity.affine_transform(line.outlines, (1, 0, 0, -1, start, mark.y))


def _rgb(mark: Area | Stroke | Dot | Words) -> NDArray[np.float64]:
    return 255.0 * np.array(rgb(mark.fill if isinstance(mark, Area | Dot) else mark.colour), dtype=np.float64)


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


@cache
def _font() -> Font:
    return find_font(BUNDLED_FAMILY, folders=())[0]
