"""Parts to be laid on beds, where they stand there, and the proof that none stands over another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from ...plane.beds import turned
from ..making.record import PartMade
from ..making.run import OrderMade

PartOutline = tuple[tuple[float, float], ...]

EXACT = 1e-6
"""How much less than the clearance two parts may stand apart, mm: what numbers of a computer lose."""


@dataclass(frozen=True)
class BedPart:
    """One part that is to stand on a bed: of which ``stamp``, the how manieth ``copy`` of it, and whether in a rush."""

    stamp: str
    copy: int
    part: PartMade
    rush: bool

    @property
    def name(self) -> str:
        """What it is called on the bed and in its file."""
        return f"{self.stamp} {self.part.name}" + (f" {self.copy}" if self.copy > 1 else "")


@dataclass(frozen=True)
class Room:
    """A bed: ``width`` and ``depth``, mm, the ``margin`` left free at its edge, and the ``clearance`` between parts."""

    width: float
    depth: float
    margin: float
    clearance: float


@dataclass(frozen=True)
class PartPlace:
    """Where a part stands: turned by ``turn`` degrees about its origin, counter-clockwise, then moved by (x, y), mm."""

    turn: float
    x: float
    y: float


@dataclass(frozen=True)
class PrinterBed:
    """Parts that are printed together, of one ``material``, each with its place; ``nested``: closer than in rows."""

    material: str
    room: Room
    parts: tuple[tuple[BedPart, PartPlace], ...]
    nested: bool

    @property
    def rush(self) -> bool:
        """Whether there is a part on it that comes first."""
        return any(part.rush for part, _ in self.parts)

    @property
    def mass(self) -> float:
        """Mass of all parts, g."""
        return sum(part.part.mass for part, _ in self.parts)

    @property
    def density(self) -> float:
        """Share of the bed that parts stand over."""
        area = sum(float(outline_of(part.part).area) for part, _ in self.parts)
        return area / (self.room.width * self.room.depth)


def parts_to_lay(made: Iterable[OrderMade]) -> list[BedPart]:
    """Return every part of every copy of the stamps that were made: those in a rush first, then as the rows come."""
    rows = [each for each in made if each.record.state == "made"]
    rows.sort(key=lambda each: not each.order.rush)
    return [
        BedPart(each.order.name, copy, part, each.order.rush)
        for each in rows
        for copy in range(1, each.order.count + 1)
        for part in each.record.parts
    ]


def outline_of(part: PartMade) -> Polygon:
    """Return what a part stands over with its brim, mm, about its own origin."""
    return _outline(part.outline, part.brim)


@lru_cache(maxsize=10_000)
def _outline(corners: PartOutline, brim: float) -> Polygon:
    plain = Polygon(corners)
    return plain.buffer(brim) if brim else plain


def standing(part: PartMade, place: PartPlace) -> Polygon:
    """Return what a part stands over in its place on the bed, mm."""
    return shapely.transform(outline_of(part), lambda points: _placed(points, place))


def _placed(points: NDArray[np.float64], place: PartPlace) -> NDArray[np.float64]:
    moved: NDArray[np.float64] = turned(points, place.turn) + np.array((place.x, place.y))
    return moved


def faults_of(parts: Sequence[tuple[BedPart, PartPlace]], room: Room) -> list[str]:
    """Return what is wrong with the places of parts on a bed: over its margin, or nearer to each other than may be."""
    outlines = [standing(part.part, place) for part, place in parts]
    free = shapely.box(room.margin, room.margin, room.width - room.margin, room.depth - room.margin)
    found = [
        f"{part.name} stands over the margin"
        for (part, _), outline in zip(parts, outlines, strict=True)
        if not free.buffer(EXACT).covers(outline)
    ]
    tree = shapely.STRtree(outlines)
    one, other = tree.query(outlines, predicate="dwithin", distance=room.clearance)
    for first, second in zip(one[one < other], other[one < other], strict=True):
        apart = outlines[first].distance(outlines[second])
        if apart < room.clearance - EXACT:
            found.append(f"{parts[first][0].name} and {parts[second][0].name} are {apart:.3f} mm apart")
    return found
