"""Strokes and the paper between them: gaps that filled, shapes that drowned in their strokes, strokes that are gone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from ..job.kinds import STROKE_LOST, WIDENED
from ..plane.overlays import all_joined, common, without
from ..preflight.limits import EYE
from .changes import Change
from .matching import InkApart, Overlaps, Regions, clusters, within_sight
from .topology import LEAST_PRINTED, across

LEAST_LEFT = 0.08
"""Share of the paper within a shape's hull that must stay open for the shape to be known by it. Strokes grow outwards
as well, so that letters are known by far less than what they had: of 48 prints of small type an outside reader read all
with 5 % and more as well as the art, and those with 3 % and less worse."""

LEAST_OPEN = 0.15
"""Share of a shape's hull that is paper, below which the shape is a patch that has no strokes to tell."""

_BETWEEN = 0.65
"""Share of the outline of a filled place on given ink from which on it lay between strokes, not beside one: there it is
a half, and of a notch whose mouth is as wide as it is deep two thirds."""

_ROUNDING = 1e-4  # outlines that lie on each other part by no more than this, mm
_ROUND = 2  # straight pieces to a quarter turn, where only what is wider than EYE counts


@dataclass(frozen=True, eq=False)
class FilledGap:
    """A stretch of paper that filled: its place, how long and wide it is, mm, and the given parts beside it.

    ``beside``: share of the place's outline that lies on given ink. ``within``: whether the parts are one to an eye: a
    single one, or several that all but touch somewhere.
    """

    place: shapely.Geometry
    length: float
    width: float
    parts: NDArray[np.intp]
    beside: float
    within: bool

    @property
    def is_between(self) -> bool:
        """Whether it lay between strokes, and not beside one."""
        return self.beside >= _BETWEEN


def gaps_filled(given: InkApart, printed: InkApart, met: Overlaps, spread: float) -> list[FilledGap]:
    """Return every stretch of paper over which ink lies deeper than its spread and what an eye cannot see reach.

    Those are gaps and counters that filled from edge to edge, and paper beside strokes that grew; :func:`is_between`
    tells them apart.
    """
    deep = spread + EYE / 2
    cores = shapely.buffer(printed.plain, -deep, quad_segs=_ROUND)
    inside = met.ones_of(len(printed.parts))
    filled: list[Regions] = []
    for at in np.flatnonzero(~shapely.is_empty(cores)).tolist():
        if not len(inside[at]):
            continue
        parts = given.parts[inside[at]]
        # Growth of the art alone, without any gap to fill, leaves the core within it.
        if len(parts) == 1 and shapely.covers(parts[0], cores[at]):
            continue
        over = shapely.get_parts(without(cores[at], shapely.multipolygons(parts)))
        filled.append(over[(shapely.get_dimensions(over) == 2) & (shapely.area(over) > EYE * EYE)])
    places = np.concatenate(filled) if filled else printed.parts[:0]
    return _described(places[within_sight(places, EYE)], given)


def _described(places: Regions, given: InkApart) -> list[FilledGap]:
    at, part = given.near(places, _ROUNDING)
    edges, lengths, owner = _edges(places)
    order = np.argsort(at, kind="stable")
    near = np.split(part[order], np.searchsorted(at[order], np.arange(1, len(places))))
    within = _within_one(near, given)
    on_ink = np.zeros(len(edges), dtype=np.bool_)
    # Where parts that stood apart are near, they ran together, and how a place lies beside them is of no matter.
    asked = np.flatnonzero(within[owner])
    on_ink[asked[given.near(edges[asked], _ROUNDING)[0]]] = True
    beside = np.bincount(owner, weights=lengths * on_ink, minlength=len(places)) / shapely.length(places)
    return [
        FilledGap(place, *_strip(place), parts, float(share), bool(one))
        for place, parts, share, one in zip(places, near, beside, within, strict=False)
    ]


def _within_one(near: Sequence[NDArray[np.intp]], given: InkApart) -> NDArray[np.bool_]:
    """Say for each list of given parts whether they are one to an eye, by themselves or through others near them."""
    count = np.array([len(parts) for parts in near], dtype=np.intp)
    alone: NDArray[np.bool_] = count == 1
    if not (count > 1).any():
        return alone
    members = np.unique(np.concatenate([parts for parts in near if len(parts) > 1]))
    beside = np.unique(given.near(given.parts[members], EYE)[1])
    company = np.full(len(given.parts), -1, dtype=np.intp)
    company[beside] = clusters(given.parts[beside], EYE)
    return alone | np.array([len(parts) > 1 and np.ptp(company[parts]) == 0 for parts in near], dtype=np.bool_)


def _edges(places: Regions) -> tuple[Regions, NDArray[np.float64], NDArray[np.intp]]:
    """Return the middles of all edges of places as points, their lengths, mm, and whose they are."""
    rings, ring_owner = shapely.get_rings(places, return_index=True)
    points, ring = shapely.get_coordinates(rings, return_index=True)
    inside = ring[:-1] == ring[1:]
    steps, middles = points[1:] - points[:-1], (points[1:] + points[:-1]) / 2
    return shapely.points(middles[inside]), np.hypot(*steps[inside].T), ring_owner[ring[:-1][inside]]


def _strip(region: shapely.Geometry) -> tuple[float, float]:
    """Return length and width of the strip that has a region's outline and area, mm."""
    quarter = region.length / 4
    half = math.sqrt(max(quarter * quarter - region.area, 0.0))
    return quarter + half, max(quarter - half, 0.0)


def strokes_lost(given: InkApart, printed: InkApart, met: Overlaps) -> Iterator[Change]:
    """Yield what is missing of parts that print in the main; edges that moved by what an eye sees do not count."""
    left = np.bincount(met.one, weights=met.common, minlength=len(given.parts)) / shapely.area(given.parts)
    over = met.others_of(len(given.parts))
    for at in np.flatnonzero((left >= LEAST_PRINTED) & (left < 1 - 1e-6)).tolist():
        part = given.parts[at]
        ink = shapely.buffer(printed.parts[over[at]], EYE, quad_segs=_ROUND)
        gone = shapely.get_parts(without(part, all_joined(ink)))
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


def shapes_drowned(given: InkApart, printed: InkApart, met: Overlaps, filled: Sequence[FilledGap]) -> Iterator[Change]:
    """Yield the parts whose paper within their own hull is nearly all ink in print; ``share``: what of it is left."""
    over = met.others_of(len(given.parts))
    # Where no paper filled, none can be missing.
    doubtful = np.unique(np.concatenate([gap.parts for gap in filled])) if filled else np.zeros(0, dtype=np.intp)
    for at in doubtful.tolist():
        hull = shapely.convex_hull(given.parts[at])
        if not len(over[at]) or hull.area - given.parts[at].area <= LEAST_OPEN * hull.area:
            continue
        # Ink of neighbours that stands within the hull was there before.
        near = given.parts[given.tree.query(hull, predicate="intersects")]
        left, open_ = _open_paper(hull, printed.parts[over[at]], near)
        if open_ > LEAST_OPEN * hull.area and left < LEAST_LEFT * open_:
            yield Change(
                kind=WIDENED,
                place=hull,
                area=open_ - left,
                share=left / open_,
                size=across(given.parts[at]),
            )


def _open_paper(hull: shapely.Geometry, prints: Regions, parts: Regions) -> tuple[float, float]:
    """Return how much paper is in a hull in print and in the art, mm²."""
    printed = shapely.area(common(hull, shapely.multipolygons(prints)))
    given = shapely.area(common(hull, shapely.multipolygons(parts)))
    return float(hull.area - printed), float(hull.area - given)
