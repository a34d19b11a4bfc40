"""Strokes and the paper between them: gaps that filled, shapes that drowned in their strokes, strokes that are gone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from ..job.kinds import STROKE_LOST, WIDENED
from .changes import EYE, Change
from .matching import Drawing, Overlaps, Regions, within_sight
from .topology import LEAST_PRINTED, across

LEAST_LEFT = 0.25
"""Share of the paper within a shape's hull that must stay open for the shape to be known by it."""

LEAST_OPEN = 0.15
"""Share of a shape's hull that is paper, below which the shape is a patch that has no strokes to tell."""

_BETWEEN = 0.6  # share of a filled place's outline on given ink from which on it lay between strokes, not beside one
_FINEST = 0.02  # how far outlines may stray where only what is wider than EYE counts, mm
_ROUND = 2  # straight pieces to a quarter turn, where the same is true


@dataclass(frozen=True, eq=False)
class Filled:
    """A stretch of paper that filled: its place, how long and wide it is, mm, and the given parts beside it.

    ``beside``: share of the place's outline that lies on given ink.
    """

    place: shapely.Geometry
    length: float
    width: float
    parts: NDArray[np.intp]
    beside: float

    @property
    def is_between(self) -> bool:
        """Whether it lay between strokes, and not beside one."""
        return self.beside >= _BETWEEN


def gaps_filled(given: Drawing, printed: Drawing, met: Overlaps, spread: float) -> list[Filled]:
    """Return every stretch of paper over which ink lies deeper than its spread and what an eye cannot see reach.

    Those are gaps and counters that filled from edge to edge, and paper beside strokes that grew; :func:`is_between`
    tells them apart.
    """
    deep = spread + EYE / 2
    thinned = shapely.simplify(printed.parts, _FINEST, preserve_topology=False)
    cores = shapely.buffer(thinned, -deep, quad_segs=_ROUND)
    inside = met.ones_of(len(printed.parts))
    filled: list[Regions] = []
    for at in np.flatnonzero(~shapely.is_empty(cores)).tolist():
        if not len(inside[at]):
            continue
        parts = given.parts[inside[at]]
        # Growth of the art alone, without any gap to fill, leaves the core within it.
        if len(parts) == 1 and shapely.covers(parts[0], cores[at]):
            continue
        over = shapely.get_parts(shapely.difference(cores[at], shapely.multipolygons(parts)))
        filled.append(over[(shapely.get_dimensions(over) == 2) & (shapely.area(over) > EYE * EYE)])
    places = np.concatenate(filled) if filled else printed.parts[:0]
    places = places[within_sight(places, EYE)]
    return [_filled(place, given) for place in places]


def _filled(place: shapely.Geometry, given: Drawing) -> Filled:
    near = given.tree.query(place, predicate="dwithin", distance=1e-6)
    # Laid over each other, outlines part by a last digit.
    ink = shapely.buffer(given.parts[near], 1e-4, quad_segs=1)
    edge = shapely.boundary(place)
    beside = shapely.length(shapely.intersection(edge, shapely.union_all(ink))) / edge.length
    return Filled(place, *_strip(place), near, float(beside))


def _strip(region: shapely.Geometry) -> tuple[float, float]:
    """Return length and width of the strip that has a region's outline and area, mm."""
    quarter = region.length / 4
    half = math.sqrt(max(quarter * quarter - region.area, 0.0))
    return quarter + half, max(quarter - half, 0.0)


def strokes_lost(given: Drawing, printed: Drawing, met: Overlaps) -> Iterator[Change]:
    """Yield what is missing of parts that print in the main; edges that moved by what an eye sees do not count."""
    left = np.bincount(met.one, weights=met.common, minlength=len(given.parts)) / shapely.area(given.parts)
    over = met.others_of(len(given.parts))
    for at in np.flatnonzero((left >= LEAST_PRINTED) & (left < 1 - 1e-6)).tolist():
        part = given.parts[at]
        ink = shapely.buffer(printed.parts[over[at]], EYE, quad_segs=_ROUND)
        gone = shapely.get_parts(shapely.difference(part, shapely.union_all(ink)))
        gone = gone[(shapely.get_dimensions(gone) == 2) & (shapely.area(gone) > EYE * EYE)]
        for piece in gone[within_sight(gone, EYE / 2)]:
            length, width = _strip(piece)
            share = float(piece.area / part.area)
            yield Change(
                kind=STROKE_LOST,
                place=piece,
                area=float(piece.area),
                length=length,
                width=width,
                share=share,
                size=across(part),
            )


def shapes_drowned(given: Drawing, printed: Drawing, met: Overlaps, filled: Sequence[Filled]) -> Iterator[Change]:
    """Yield the parts whose paper within their own hull is nearly all ink in print; ``share``: what of it is left."""
    hulls = shapely.convex_hull(given.parts)
    paper = shapely.area(hulls) - shapely.area(given.parts)
    over = met.others_of(len(given.parts))
    # Where no paper filled, none can be missing.
    doubtful = np.unique(np.concatenate([gap.parts for gap in filled])) if filled else np.zeros(0, dtype=np.intp)
    for at in doubtful[(paper > LEAST_OPEN * shapely.area(hulls))[doubtful]].tolist():
        if not len(over[at]):
            continue
        # Ink of neighbours that stands within the hull was there before.
        near = given.parts[given.tree.query(hulls[at], predicate="intersects")]
        left, open_ = _open_paper(hulls[at], printed.parts[over[at]], near)
        if open_ > LEAST_OPEN * hulls[at].area and left < LEAST_LEFT * open_:
            yield Change(
                kind=WIDENED,
                place=hulls[at],
                area=open_ - left,
                share=left / open_,
                size=across(given.parts[at]),
            )


def _open_paper(hull: shapely.Geometry, prints: Regions, parts: Regions) -> tuple[float, float]:
    """Return how much paper is in a hull in print and in the art, mm²."""
    printed = shapely.area(shapely.intersection(hull, shapely.multipolygons(prints)))
    given = shapely.area(shapely.intersection(hull, shapely.multipolygons(parts)))
    return float(hull.area - printed), float(hull.area - given)
