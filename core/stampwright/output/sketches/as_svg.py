"""A sketch as SVG, one unit a millimetre."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

import numpy as np
import shapely
from numpy.typing import NDArray

from ...job.written.texts import as_line
from ...looks.colours import INK, PAPER
from ...looks.typefaces import SANS, SERIF
from .marks import Area, Dot, DrawnLine, Fill, Sketch, SketchMark, Words


def sketch_svg(sketch: Sketch, *, title: str) -> str:
    """Return a drawing as an SVG document, one unit a millimetre."""
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n{opening(sketch.width, sketch.height)}\n'
        f"<title>{escape(as_line(title))}</title>\n"
        f'<rect width="{sketch.width:.3f}" height="{sketch.height:.3f}" fill="{PAPER}"/>\n'
        f"{as_elements(sketch.marks)}\n</svg>\n"
    )


def sketch_element(sketch: Sketch, *, label: str) -> str:
    """Return a drawing as an SVG element for a page, at true size."""
    return f"{opening(sketch.width, sketch.height, 1.0, label)}\n{as_elements(sketch.marks)}\n</svg>"


def as_elements(marks: Iterable[SketchMark]) -> str:
    """Return marks as SVG elements."""
    return "\n".join(map(_as_element, marks))


def text(x: float, y: float, words: str, *, size: float, fill: str = INK, family: str = SANS, look: str = "") -> str:
    """Return one line of text with its base line at ``y``."""
    return (
        f'<text x="{x:.3f}" y="{y:.3f}" font-family="{family}" font-size="{size}" fill="{fill}"{look}>'
        f"{escape(as_line(words))}</text>"
    )


def opening(width: float, height: float, scale: float = 1.0, label: str = "") -> str:
    """Return the opening tag of a drawing in mm, shown ``scale`` times its size."""
    named = f' role="img" aria-label="{escape(as_line(label))}"' if label else ""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * scale:.3f}mm" height="{height * scale:.3f}mm" '
        f'viewBox="0 0 {width:.3f} {height:.3f}"{named}>'
    )


def path_data(region: shapely.Geometry) -> str:
    """Return the rings of a region as the data of one path, to the micrometre; nothing for an empty one."""
    rings = shapely.get_rings(shapely.get_parts(region))
    return "".join(_ring(shapely.get_coordinates(ring)[:-1]) for ring in rings)


def _ring(points: NDArray[np.float64]) -> str:
    form = "L%.3f %.3f" * len(points)
    return "M" + form[1:] % tuple(points.ravel().tolist()) + "Z"


def _as_element(mark: SketchMark) -> str:
    match mark:
        case Area():
            box = f'x="{mark.left:.3f}" y="{mark.top:.3f}" width="{mark.width:.3f}" height="{mark.height:.3f}"'
            return f'<rect {box} fill="{mark.fill}"/>'
        case Fill():
            return f'<path d="{path_data(mark.region)}" fill-rule="evenodd" fill="{mark.fill}"/>'
        case DrawnLine():
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
