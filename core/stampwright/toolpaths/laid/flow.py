"""Whether a file feeds as much as its own lines have room for: their distance against their sections.

A solid layer is full when a line's section is the layer's height times the distance to the next line. Where a file
feeds a multiple of that, it was made for another filament, or tells volumes where lengths are taken.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from .areas import paths_of
from .plate import LaidLayer, Thing

WIDEST, NARROWEST = 3.0, 0.05
"""Distances of lines that are laid side by side, mm; nearer, a line is laid twice."""

MUCH, LITTLE = 1.4, 0.7
"""Shares of the room from which on the feed is taken to be wrong: slicers take a section for a rectangle, a stadium
or an ellipse, 0.79 to 1.1 of it (reckoned from these shapes)."""

LEAN, RICH = 0.93, 1.15
"""Shares of the room past which lines leave gaps, or have none: a rectangle or a stadium fills it, and a slicer that
takes a section for an ellipse does leave gaps."""

FLOOR = 0.8
"""Share of the most that a layer lays for its height, from which on it is one of the floor's: a relief's strokes are so
narrow that walls lie on each other."""

ALIKE_SPACES, NEARLY_MOST = 0.15, 0.6
"""Share by which distances that are one differ at most; share of the most length at one from which on it is usual."""

STRAIGHT = 0.02
"""How far from a straight line a file may waver, mm, and lay one all the same."""

_LAYERS = 3  # looked at, over the first, whose lines are often laid wider
_LINES = 300  # looked at in each
_LONG = 1.0  # least length of a line that is looked at, mm
_ALIKE = 0.996  # least cosine between lines that lie side by side: 5 degrees


@dataclass(frozen=True)
class Flow:
    """``spacing``: how far apart lines lie, mm; ``share``: of their room that is fed, 1 for all."""

    spacing: float
    share: float

    @property
    def is_wrong(self) -> bool:
        """Whether the feed is none for these lines."""
        return not LITTLE <= self.share <= MUCH

    @property
    def is_off(self) -> bool:
        """Whether the feed leaves gaps between these lines, or more than they have room for."""
        return not LEAN <= self.share <= RICH


def flow_of(thing: Thing) -> Flow | None:
    """Return how the feed of a thing fits its lines, over the first layer; None where no lines lie side by side."""
    found = [_neighbours(layer) for layer in _of_floor(thing)]
    space, share, length = (np.concatenate(each) for each in zip(*found, strict=True))
    if len(space) < 4:
        return None
    spacing = _usual(space, length)
    near = np.abs(space - spacing) < ALIKE_SPACES * spacing
    return Flow(spacing, float(np.median(share[near])) / spacing)


def _usual(space: NDArray[np.float64], length: NDArray[np.float64]) -> float:
    """Return the least distance at which nearly as much of the lines lies as at any.

    Sparse filling lies farther apart than what is laid side by side; the short ways between its lines lie on walls.
    """
    order = np.argsort(space, kind="stable")
    space, come = space[order], np.concatenate(([0.0], np.cumsum(length[order])))
    last = np.searchsorted(space, space * (1 + ALIKE_SPACES), side="right")
    alike = come[last] - come[:-1]
    first = int(np.flatnonzero(alike >= NEARLY_MOST * alike.max())[0])
    return float(np.median(space[first : last[first]]))


def _of_floor(thing: Thing) -> tuple[LaidLayer, ...]:
    """Return some layers whose lines have room: solid ones of the floor, where there are any over the first."""
    over = thing.layers[1:] or thing.layers
    most = max(layer.volume / layer.height for layer in over)
    return tuple(layer for layer in over if layer.volume / layer.height >= FLOOR * most)[:_LAYERS]


def made_to_fit(thing: Thing, flow: Flow) -> Thing:
    """Return a thing as if its feed were right: beads are then as wide, on the whole, as they lie apart."""

    def fit(layer: LaidLayer) -> LaidLayer:
        factor = np.float32(1.0 / flow.share * max(0.5, 1 - layer.height * (1 - math.pi / 4) / flow.spacing))
        return replace(layer, beads=replace(layer.beads, section=layer.beads.section * factor))

    return Thing(tuple(map(fit, thing.layers)), thing.pitch)


def _neighbours(layer: LaidLayer) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return how far the nearest line beside some lines of a layer lies, their sections over its height, their length.

    All (n,) mm.
    """
    beads = layer.beads.those(np.flatnonzero(layer.full))
    if not len(beads):
        return np.zeros(0), np.zeros(0), np.zeros(0)
    # Lines that waver, or bend in many short steps, are looked at as a whole.
    paths, first = paths_of(beads, np.ones(len(beads) - 1, dtype=np.bool_), STRAIGHT)
    of_path = np.add.reduceat(beads.volume, first) / np.add.reduceat(beads.length, first)
    points, owner = shapely.get_coordinates(paths, return_index=True)
    along = owner[1:] == owner[:-1]
    start, way, section = points[:-1][along], (points[1:] - points[:-1])[along], of_path[owner[1:][along]]
    length = np.hypot(*way.T)
    long = np.flatnonzero(length >= max(min(_LONG, float(np.percentile(length, 90))), 1e-6))
    picked = long[np.unique(np.linspace(0, len(long) - 1, _LINES).astype(np.int64))] if len(long) else long
    lines = shapely.linestrings(np.stack((start, start + way), axis=1)[long]) if len(long) else np.array([])
    if len(lines) < 2:
        return np.zeros(0), np.zeros(0), np.zeros(0)
    middles = start[picked] + way[picked] / 2
    one, other = shapely.STRtree(lines).query(shapely.points(middles), predicate="dwithin", distance=WIDEST)
    a, b = picked[one], long[other]
    along, beside = way[a] / length[a, None], way[b] / length[b, None]
    alike = np.abs((along * beside).sum(axis=1)) >= _ALIKE
    off = middles[one] - start[b]
    across = np.abs(off[:, 0] * beside[:, 1] - off[:, 1] * beside[:, 0])
    at = (off * beside).sum(axis=1)
    fits = alike & (a != b) & (at >= 0) & (at <= length[b]) & (across >= NARROWEST)
    nearest = np.full(len(picked), np.inf)
    np.minimum.at(nearest, one[fits], across[fits])
    found = np.isfinite(nearest)
    return nearest[found], section[picked][found] / layer.height, length[picked][found]
