"""A sketch as SVG, one unit a millimetre."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from html import escape

import numpy as np
import shapely

from ...files.meshes.numbers_written import thousandth_letters
from ...job.written.texts import as_line
from ...looks.colours import INK, PAPER
from ...looks.typefaces import SANS, SERIF
from .marks import Area, Dot, DrawnLine, Fill, InSketch, Sketch, SketchMark, Words

_KEPT = 4
"""Regions whose words are kept: the same art is on the proof, on the ticket and on the customer's page."""


def sketch_svg(sketch: Sketch, *, title: str) -> str:
    """Return a drawing as an SVG document, one unit a millimetre; art that is on it twice is in it once."""
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n{opening(sketch.width, sketch.height)}\n'
        f"<title>{escape(as_line(title))}</title>\n"
        f'<rect width="{sketch.width:.3f}" height="{sketch.height:.3f}" fill="{PAPER}"/>\n'
        f"{as_elements(_art_once(sketch.marks))}\n</svg>\n"
    )


def sketch_element(sketch: Sketch, *, label: str) -> str:
    """Return a drawing as an SVG element for a page, at true size."""
    return f"{opening(sketch.width, sketch.height, 1.0, label)}\n{as_elements(sketch.marks)}\n</svg>"


def as_elements(marks: Iterable[SketchMark | str]) -> str:
    """Return marks as SVG elements, and what is one already as it is."""
    return "\n".join(mark if isinstance(mark, str) else _as_element(mark) for mark in marks)


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
    points, ring = shapely.get_coordinates(shapely.get_rings(shapely.get_parts(region)), return_index=True)
    first = np.diff(ring, prepend=-1) > 0
    # Each ring ends where it began: in place of that point stands the sign that closes it.
    last = np.append(first[1:], True) if len(ring) else first
    x, y = (thousandth_letters(np.ascontiguousarray(column)) for column in points.T)
    signs = np.where(first, ord("M"), ord("L")).astype(np.uint8)[:, None]
    gaps = np.full((len(points), 1), ord(" "), np.uint8)
    letters = np.hstack((signs, x, gaps, y))
    letters[last] = 0
    letters[last, 0] = ord("Z")
    return letters.tobytes().translate(None, b"\0").decode()


def art_data(region: shapely.Geometry) -> str:
    """Return :func:`path_data` of art, which goes on several pages: it is put into words once."""
    return _data_of(_Region(region))


def laid_path(region: shapely.Geometry, frame: InSketch, look: str) -> str:
    """Return a filled region of the paper frame as one path that lies in a drawing; nothing for an empty one."""
    data = art_data(region)
    return f'<path{_laid(frame)} d="{data}" fill-rule="evenodd" {look}/>' if data else ""


@dataclass(frozen=True, eq=False)
class _Region:
    """A region that is the same as another only if it is the very object, which is quicker to tell than its points."""

    region: shapely.Geometry

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Region) and self.region is other.region

    def __hash__(self) -> int:
        return id(self.region)


@lru_cache(_KEPT)
def _data_of(held: _Region) -> str:
    return path_data(held.region)


def _art_once(marks: Iterable[SketchMark]) -> Iterator[SketchMark | str]:
    """Yield marks, but of regions that lie in several frames one definition, and its uses."""
    marks = list(marks)
    art = Counter(art_data(mark.region) for mark in marks if isinstance(mark, Fill) and mark.frame is not None)
    names = {data: f"art-{number}" for number, data in enumerate((d for d, uses in art.items() if uses > 1), start=1)}
    defined = set()
    for mark in marks:
        name = names.get(art_data(mark.region)) if isinstance(mark, Fill) and mark.frame is not None else None
        if name is None or not isinstance(mark, Fill) or mark.frame is None:
            yield mark
            continue
        if name not in defined:
            yield f'<defs><path id="{name}" d="{art_data(mark.region)}" fill-rule="evenodd"/></defs>'
            defined.add(name)
        yield f'<use href="#{name}"{_laid(mark.frame)} fill="{mark.fill}"/>'


def _laid(frame: InSketch) -> str:
    """Return the attribute that lays what is in the paper frame into a drawing."""
    return f' transform="matrix({frame.scale:g} 0 0 {-frame.scale:g} {frame.x:.3f} {frame.y:.3f})"'


def _as_element(mark: SketchMark) -> str:
    match mark:
        case Area():
            box = f'x="{mark.left:.3f}" y="{mark.top:.3f}" width="{mark.width:.3f}" height="{mark.height:.3f}"'
            return f'<rect {box} fill="{mark.fill}"/>'
        case Fill():
            look = f'fill="{mark.fill}"'
            if mark.frame is not None:
                return laid_path(mark.region, mark.frame, look)
            return f'<path d="{path_data(mark.region)}" fill-rule="evenodd" {look}/>'
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
