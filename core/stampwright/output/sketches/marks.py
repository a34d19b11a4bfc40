"""What a sketch is made of; mm from its upper left corner, x right and y down."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ...looks.colours import INK
from ...plane.regions import filled_parts

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
class InSketch:
    """How the paper frame lies in a sketch: its origin at (x, y), ``scale`` times its size."""

    x: float
    y: float
    scale: float

    def spot(self, x: float, y: float) -> Spot:
        """Return where a point of the paper frame, mm, comes to lie."""
        return self.x + self.scale * x, self.y - self.scale * y

    def laid(self, region: shapely.Geometry) -> shapely.Geometry:
        """Return a geometry of the paper frame, mm, where it comes to lie."""
        return affinity.affine_transform(region, (self.scale, 0, 0, -self.scale, self.x, self.y))

    def filled(self, region: shapely.Geometry, fill: str) -> Iterator[Fill]:
        """Yield a region of the paper frame as a mark; nothing when it is empty."""
        parts = filled_parts(region)
        if not parts.is_empty:
            yield Fill(parts, fill, self)

    def outlined(
        self, region: shapely.Geometry, colour: str, width: float, dashes: tuple[float, ...] = ()
    ) -> Iterator[DrawnLine]:
        """Yield the outlines of a region of the paper frame as marks; ``width`` and ``dashes`` as in the sketch."""
        for ring in shapely.get_rings(shapely.get_parts(filled_parts(region))):
            points = tuple(map(tuple, shapely.get_coordinates(self.laid(ring)).tolist()))
            yield DrawnLine(points, colour, width, dashes)


@dataclass(frozen=True, eq=False)
class Fill:
    """A filled region, holes left open, in the sketch or, with a ``frame``, on paper that lies in the sketch like that.

    Art that is shown twice is one region in two frames, and is put into words once.
    """

    region: Polygon | MultiPolygon
    fill: str
    frame: InSketch | None = None

    @property
    def laid(self) -> shapely.Geometry:
        """The region where it comes to lie in the sketch."""
        return self.region if self.frame is None else self.frame.laid(self.region)


@dataclass(frozen=True)
class DrawnLine:
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


SketchMark = Area | Fill | DrawnLine | Dot | Words


@dataclass(frozen=True)
class Sketch:
    """A drawing: ``marks`` lie over each other in their order, on white."""

    width: float
    height: float
    marks: tuple[SketchMark, ...]


def moved(mark: SketchMark, right: float, down: float) -> SketchMark:
    """Return a mark moved on its sketch, mm."""
    match mark:
        case Area():
            return replace(mark, left=mark.left + right, top=mark.top + down)
        case Fill():
            if mark.frame is None:
                return Fill(affinity.translate(mark.region, right, down), mark.fill)
            return replace(mark, frame=replace(mark.frame, x=mark.frame.x + right, y=mark.frame.y + down))
        case DrawnLine():
            return replace(mark, points=tuple((x + right, y + down) for x, y in mark.points))
        case Dot() | Words():
            return replace(mark, x=mark.x + right, y=mark.y + down)


def stacked(sketches: list[Sketch], gap: float, edge: float) -> Sketch:
    """Return sketches under each other, ``gap`` mm between two, with a margin of ``edge`` mm all round."""
    marks: list[SketchMark] = []
    down = edge
    for each in sketches:
        marks.extend(moved(mark, edge, down) for mark in each.marks)
        down += each.height + gap
    width = max((each.width for each in sketches), default=0.0) + 2 * edge
    return Sketch(width, max(down - gap, edge) + edge, tuple(marks))
