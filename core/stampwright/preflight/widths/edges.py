"""Outlines as arrays of short straight edges, seen from the ink or from the paper."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ...plane.chains import Chains

Floats = NDArray[np.float64]
Wholes = NDArray[np.int64]
Flags = NDArray[np.bool_]

Side = Literal["ink", "paper"]

MEASURING_ERROR = 0.01
"""Widths are measured to this, mm; what misses a limit by less is taken to keep it."""

MOST_PIECES = 200_000
"""Long edges are cut into no more pieces than this in all, whatever the art; a bound on memory."""

DENSE_SPACING = 0.02
"""Outlines with points closer together than this on average are thinned before measuring, mm."""

THINNED_TO = 0.001
"""How far thinning may move an outline, mm; a tenth of what widths are measured to."""


@dataclass(frozen=True, eq=False)
class Edges:
    """Straight edges of outlines; the region that is measured lies on the left of each.

    ``starts``, ``ends``: (n, 2) float, mm. ``along``: (n, 2) unit vectors from start to end. ``inward``: (n, 2) unit
    normals into the region. ``lengths``: (n,) mm. ``following``, ``leading``: (n,) the edge after and before in the
    same ring. ``turns``: (n,) by how much the outline turns to the left at an edge's start, radians; negative at inward
    corners.
    """

    starts: Floats
    ends: Floats
    along: Floats
    inward: Floats
    lengths: Floats
    following: Wholes
    leading: Wholes
    turns: Floats

    def __len__(self) -> int:
        return len(self.lengths)

    @cached_property
    def chains(self) -> Chains:
        """The edges in chains, to look for what lies near."""
        return Chains.of(self.starts, self.ends)

    @cached_property
    def tree(self) -> shapely.STRtree:
        """The edges one by one, to look for which of them lies near."""
        return shapely.STRtree(shapely.linestrings(np.stack([self.starts, self.ends], axis=1)))


def list_edges(region: MultiPolygon | Polygon, side: Side, longest: float) -> Edges:
    """Return the edges of a region's outlines, none longer than ``longest`` mm, with the measured side on the left.

    ``side`` is ``"ink"`` for the region itself and ``"paper"`` for what it leaves free.
    """
    starts, ends, rings = _ring_edges(region, side)
    along = ends - starts
    lengths = np.hypot(along[:, 0], along[:, 1])
    longest = max(longest, float(lengths.sum()) / MOST_PIECES)
    counts = np.maximum(np.ceil(lengths / longest - 1e-9), 1).astype(np.int64)
    source = np.repeat(np.arange(len(counts)), counts)
    place = np.arange(len(source)) - np.repeat(np.cumsum(counts) - counts, counts)
    first = (place / counts[source])[:, None]
    last = ((place + 1) / counts[source])[:, None]
    piece_starts = starts[source] + first * along[source]
    piece_ends = np.where(last == 1.0, ends[source], starts[source] + last * along[source])
    unit = along[source] / lengths[source, None]
    following, leading = _neighbours(rings[source])
    return Edges(
        starts=piece_starts,
        ends=piece_ends,
        along=unit,
        inward=np.column_stack([-unit[:, 1], unit[:, 0]]),
        lengths=lengths[source] / counts[source],
        following=following,
        leading=leading,
        turns=np.arctan2(
            unit[leading, 0] * unit[:, 1] - unit[leading, 1] * unit[:, 0],
            np.einsum("ij,ij->i", unit[leading], unit),
        ),
    )


def _ring_edges(region: MultiPolygon | Polygon, side: Side) -> tuple[Floats, Floats, Wholes]:
    """Return starts and ends of the outlines' edges of some length, with the ring of each."""
    rings, of_polygon = shapely.get_rings(shapely.get_parts(region), return_index=True)
    if len(rings) == 0:
        return np.empty((0, 2)), np.empty((0, 2)), np.empty(0, dtype=np.int64)
    rings = _thinned(rings)
    # The first ring of each polygon is its outer one.
    outer = np.diff(of_polygon, prepend=-1) > 0
    wrong_way = shapely.is_ccw(rings) != (outer == (side == "ink"))
    rings[wrong_way] = shapely.reverse(rings[wrong_way])
    corners, of_ring = shapely.get_coordinates(rings, return_index=True)
    same_ring = of_ring[1:] == of_ring[:-1]
    moved = (corners[1:] != corners[:-1]).any(axis=1)
    # An edge this short has no direction: its length would underflow.
    moved &= np.abs(corners[1:] - corners[:-1]).max(axis=1) > 1e-12
    kept = same_ring & moved
    return corners[:-1][kept], corners[1:][kept], of_ring[:-1][kept].astype(np.int64)


def _thinned(rings: NDArray[np.object_]) -> NDArray[np.object_]:
    dense = shapely.length(rings) < DENSE_SPACING * shapely.get_num_coordinates(rings)
    thinned = shapely.simplify(rings[dense], THINNED_TO, preserve_topology=True)
    rings = rings.copy()
    rings[dense] = thinned
    return rings


def _neighbours(rings: Wholes) -> tuple[Wholes, Wholes]:
    """Return the next and the previous edge of each, going round within its ring."""
    count = len(rings)
    following = np.arange(1, count + 1)
    leading = np.arange(-1, count - 1)
    if count:
        breaks = np.flatnonzero(np.diff(rings)) + 1
        firsts = np.concatenate([[0], breaks])
        lasts = np.concatenate([breaks, [count]]) - 1
        following[lasts] = firsts
        leading[firsts] = lasts
    return following, leading
