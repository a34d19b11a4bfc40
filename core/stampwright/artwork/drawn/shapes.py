"""What is drawn, as regions: outlines filled, pens and brushes drawn along them, faces seen from above."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...errors import ArtworkError
from ...findings import Finding
from ...plane.overlays import without
from ...plane.regions import filled_parts, made_valid
from ..artwork import Artwork
from ..cleaning import without_slivers
from ..letters import Letter
from ..outlines.crossing import NOTHING, PathFillRule
from ..outlines.curves import Outline, Points, Polylines, count_pieces, flattened
from ..outlines.filling import filled, united
from ..outlines.stroking import Pen, stroked
from .brushes import Brushed, Dabs
from .faces import covered
from .left_out import about_left_out, about_white


@dataclass(frozen=True, eq=False)
class Filled:
    """The inside of an outline's closed subpaths, mm, by SVG's rules for what is inside.

    ``letter``: the character of text that it is, and the word that this stands in, if any. Here as in all shapes,
    ``plain``: its ink takes no texture; ``paint``: name of what it is painted with; ``left_out``: what it belongs to
    that is no ink, such as "material Red", nothing for what prints; ``paper``: it shows paper where it lies over ink.
    """

    outline: Outline
    rule: PathFillRule = "evenodd"
    plain: bool = False
    left_out: str = ""
    paint: str = ""
    paper: bool = False
    letter: tuple[str, str] = ("", "")

    def points(self) -> Points:
        """Return points that span the shape, (n, 2) float."""
        return self.outline.corners.reshape(-1, 2)

    def region(self, tolerance: float, _magnification: float) -> BaseGeometry:
        """Return the area, its curves straightened within ``tolerance`` mm."""
        lines = flattened(self.outline, count_pieces(self.outline, tolerance))
        rings = [ring for ring, closed in zip(lines.rings(), lines.closed, strict=True) if closed]
        return filled(rings, self.rule)


@dataclass(frozen=True, eq=False)
class Line:
    """A pen drawn along an outline.

    ``width``: mm, as drawn, or, with ``on_paper``, as it shall be once the artwork has its final size.
    """

    outline: Outline
    width: float
    on_paper: bool = False
    cap: str = "butt"
    join: str = "miter"
    plain: bool = False
    left_out: str = ""
    paint: str = ""
    paper: bool = False

    def points(self) -> Points:
        """Return points that span the shape, (n, 2) float."""
        points = self.outline.corners.reshape(-1, 2)
        if self.on_paper:
            return points
        half = self.width / 2
        return np.vstack((points.min(axis=0) - half, points.max(axis=0) + half))

    def region(self, tolerance: float, magnification: float) -> BaseGeometry:
        """Return the area that the pen covers; ``magnification``: from the drawing to paper."""
        width = self.width / magnification if self.on_paper else self.width
        lines: Polylines = flattened(self.outline, count_pieces(self.outline, tolerance, width / 2))
        return stroked(lines, Pen(width=width, cap=self.cap, join=self.join, tolerance=tolerance))


@dataclass(frozen=True, eq=False)
class Faces:
    """Triangles seen from above, (n, 3, 2) float, mm: whatever any of them covers."""

    triangles: NDArray[np.float64]
    plain: bool = False
    left_out: str = ""
    paint: str = ""
    paper: bool = False

    def points(self) -> Points:
        """Return points that span the shape, (n, 2) float."""
        return self.triangles.reshape(-1, 2)

    def region(self, _tolerance: float, _magnification: float) -> BaseGeometry:
        """Return the area that the triangles cover."""
        return covered(self.triangles)


Shape = Filled | Line | Brushed | Dabs | Faces


def draw_artwork(
    shapes: Sequence[Shape], *, name: str = "", tolerance: float = 0.005, magnification: float = 1.0
) -> Artwork:
    """Return the artwork that shapes make together: ink is whatever any of them covers but those that are left out.

    ``shapes``: as they lie over one another, the lowest first; what shows paper takes the ink that it lies over, unless
    all of them do: art that is white all over prints. Each thing that is left out is a finding with what it covers.
    ``tolerance``: how far a straight piece may stray from its curve, mm, as drawn. ``magnification``: from the drawing
    to paper, for pens that have their width there. Raises :class:`ArtworkError` when nothing would print.
    """
    for points in (shape.points() for shape in shapes):
        if not np.isfinite(points).all():
            raise ArtworkError(f"{name or 'the drawing'} has points that are nowhere (not a number); draw it anew")
    try:
        regions = [shape.region(tolerance, magnification) for shape in shapes]
        drawn = list(zip(regions, shapes, strict=True))
        printed = [(region, shape) for region, shape in drawn if not shape.left_out]
        white = _shows_paper([shape for _, shape in printed])
        smooth = [(region, shape) for region, shape in printed if shape.plain or shape in white]
        inked, plain = (filled_parts(_seen(each, white, 2 * tolerance)) for each in (printed, smooth))
        left_out = {
            what: united([region for region, shape in drawn if shape.left_out == what])
            for what in dict.fromkeys(shape.left_out for shape in shapes if shape.left_out)
        }
    except shapely.errors.GEOSException as error:
        raise ArtworkError(f"the outlines could not be resolved ({error}); simplify the drawing") from error
    if inked.is_empty:
        raise ArtworkError(_without_ink(name or "the drawing", is_hidden=bool(white)))
    left, bottom, right, top = inked.bounds
    to_page = (1.0, 0.0, 0.0, 1.0, -left, -bottom)
    return Artwork(
        inked=affinity.translate(inked, -left, -bottom),
        page_size=(right - left, top - bottom),
        name=name,
        tolerance=tolerance,
        findings=tuple(
            each.moved(to_page) for each in (*about_left_out(left_out, inked), *_about_white(printed, white, inked))
        ),
        plain=affinity.translate(plain, -left, -bottom),
        letters=tuple(
            Letter(*shape.letter, shapely.box(*region.bounds)).moved(to_page)
            for region, shape in drawn
            if isinstance(shape, Filled) and shape.letter[0] and not region.is_empty
            if not shape.left_out and shape not in white
        ),
    )


def extent_of(shapes: Sequence[Shape]) -> tuple[float, float]:
    """Return width and height of what prints of a drawing, mm, lines at no width where that is set on paper.

    Raises :class:`ArtworkError` when nothing of it does.
    """
    drawn = [shape for shape in shapes if not shape.left_out]
    white = _shows_paper(drawn)
    printed = [shape.points() for shape in drawn if shape not in white]
    if not printed:
        raise ArtworkError("none of what is drawn is ink: let a material, a layer or a collection of it print")
    points = np.concatenate(printed)
    width, height = np.ptp(points, axis=0).tolist()
    return width, height


def _without_ink(name: str, *, is_hidden: bool) -> str:
    """Return in words why a drawing prints nothing, and what to do."""
    if is_hidden:
        return f"all ink of {name} lies under what is as white as paper: lay that lower, or give it another colour"
    return f"{name} shows no ink from above: close and fill its curves, or give its lines a width"


def _shows_paper(shapes: Sequence[Shape]) -> frozenset[Shape]:
    """Return those that show paper; none of them where all would, as of art drawn in white on a dark ground."""
    white = frozenset(shape for shape in shapes if shape.paper)
    return white if len(white) < len(shapes) else frozenset()


def _seen(drawn: Sequence[tuple[BaseGeometry, Shape]], white: frozenset[Shape], sliver: float) -> BaseGeometry:
    """Return what is seen of shapes, the lowest first; ``white``: those that take the ink that they lie over.

    What is left of an edge that lies upon another, nowhere wider than ``sliver``, mm, no eye sees.
    """
    if not white:
        return united([region for region, _ in drawn])
    seen: BaseGeometry = NOTHING
    for is_white, alike in groupby(drawn, key=lambda each: each[1] in white):
        laid = united([region for region, _ in alike])
        seen = without(made_valid(seen), made_valid(laid)) if is_white else united([seen, laid])
    return without_slivers(filled_parts(seen), sliver)


def _about_white(
    printed: Sequence[tuple[BaseGeometry, Shape]], white: frozenset[Shape], inked: MultiPolygon
) -> Iterator[Finding]:
    """Yield what is to be said of each paint that shows paper."""
    if white:
        dark = filled_parts(united([region for region, shape in printed if shape not in white]))
        for paint in dict.fromkeys(shape.paint for _, shape in printed if shape in white):
            laid = united([region for region, shape in printed if shape in white and shape.paint == paint])
            yield from about_white(paint, filled_parts(laid), dark, inked)
