"""Plain drawings of areas, strokes, dots and words, as SVG or as pixels: mm from the upper left corner."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from itertools import pairwise
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from ...artwork.fonts.case import BUNDLED_FOLDER
from .drawing import INK, SANS, SERIF, opening, plain, text

Point = tuple[float, float]

_FINER = 3  # pixels drawn for one kept, each way, so that edges come out smooth
_FONT = BUNDLED_FOLDER / "NotoSans-Regular.ttf"
_ANCHORS: dict[str, str] = {"start": "ls", "middle": "ms", "end": "rs"}


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

    points: tuple[Point, ...]
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
        f"<title>{escape(plain(title))}</title>\n"
        f'<rect width="{sketch.width}" height="{sketch.height:.3f}" fill="#fff"/>\n{content}\n</svg>\n'
    )


def sketch_picture(sketch: Sketch, *, columns: int) -> NDArray[np.uint8]:
    """Return a drawing as a picture ``columns`` pixels wide: (rows, columns, 3) uint8, top row first."""
    scale = columns / sketch.width
    rows = max(1, round(sketch.height * scale))
    fine = Image.new("RGB", (columns * _FINER, rows * _FINER), "#fff")
    pen = ImageDraw.Draw(fine)
    for mark in sketch.marks:
        _paint(pen, mark, scale * _FINER)
    return np.array(fine.resize((columns, rows), Image.Resampling.LANCZOS))


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


def _paint(pen: ImageDraw.ImageDraw, mark: Area | Stroke | Dot | Words, scale: float) -> None:
    match mark:
        case Area():
            # The far edges belong to the next pixel.
            far = (mark.left + mark.width) * scale - 1.0, (mark.top + mark.height) * scale - 1.0
            pen.rectangle((mark.left * scale, mark.top * scale, *far), fill=mark.fill)
        case Stroke():
            for piece in _dashed(mark.points, mark.dashes):
                placed = [(x * scale, y * scale) for x, y in piece]
                pen.line(placed, fill=mark.colour, width=max(1, round(mark.width * scale)), joint="curve")
        case Dot():
            x, y, radius = mark.x * scale, mark.y * scale, mark.radius * scale
            pen.ellipse((x - radius, y - radius, x + radius, y + radius), fill=mark.fill)
        case Words():
            place = mark.x * scale, mark.y * scale
            font = _font(round(mark.size * scale))
            pen.text(place, plain(mark.said), fill=mark.colour, font=font, anchor=_ANCHORS[mark.anchor])


def _dashed(points: Sequence[Point], dashes: Sequence[float]) -> Iterator[list[Point]]:
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


@lru_cache(maxsize=16)
def _font(size: int) -> Any:
    return ImageFont.truetype(str(_FONT), max(size, 1))
