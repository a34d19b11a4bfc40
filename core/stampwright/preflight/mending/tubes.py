"""Tubes: what lies within some distance of middle lines, with the ends of the lines kept where they are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...plane.overlays import all_joined, in_each, joined, without
from ..widths.edges import Flags, Floats, Wholes
from ..widths.middles import MiddleLines

Shapes = NDArray[np.object_]

QUARTER = 8
"""Pieces per quarter turn of the discs that repair draws with."""

MARGIN = 0.008
"""Tubes and discs are this much larger in radius than asked for, mm: it makes up for the grain of middle lines, the
thinning of tubes, and the flats of polygonal discs, which reach 0.5 % less far than their corners."""

MENDING_GRID = 2.0**-16
"""Mended outlines lie on this grid, mm; without it, overlaying leaves slits and hairs of no width."""

_GRAIN = 0.01
_THINNING = 0.002
# Cells in a row of the grid: room for more than 10 km either way.
_ROW = 2**32
_BOTH_ENDS = ((0, 1), (-1, -2))
# An end is free where there is paper this share of the tube's width beyond the line's own round end.
_FREE = 0.06
# How far into the corners of its end a square line's ink is looked for, as a share; in a round end it is 0.71.
_INTO_CORNER = 0.9


def tube(stretches: Sequence[MiddleLines], width: float, within: MultiPolygon | None = None) -> BaseGeometry:
    """Return all that lies within half a width of some middle lines.

    With ``within``, the ink that the lines are the middles of, the tube does not reach past free ends of lines that are
    narrower than the tube: a line is made broader, not longer.
    """
    if width <= 0 or not any(len(part) for part in stretches):
        return MultiPolygon()
    net = _gather(stretches)
    chains, ends = (net.chains, net.chains[:0]) if within is None else _shortened(net, width, within)
    middles = np.concatenate([chains, net.points])
    round_tubes = shapely.buffer(middles, width / 2 + MARGIN, quad_segs=QUARTER)
    square_ends = shapely.buffer(ends, width / 2 + MARGIN, cap_style="flat")
    return all_joined(np.concatenate([round_tubes, square_ends])).simplify(_THINNING)


def polygons_of(region: BaseGeometry) -> MultiPolygon:
    """Return the polygons of a region that are broader than leavings of rounding."""
    parts = shapely.get_parts(region)
    solid = (shapely.get_type_id(parts) == 3) & (shapely.area(parts) > 4 * MENDING_GRID * shapely.length(parts))
    return MultiPolygon(list(parts[solid]))


@dataclass(frozen=True, eq=False)
class _Net:
    """Middle lines on a grid: ``chains`` of them, lone ``points``, and of each node its key, width and degree."""

    chains: Shapes
    points: Shapes
    keys: Wholes
    widths: Floats
    degrees: Wholes


def _gather(stretches: Sequence[MiddleLines]) -> _Net:
    """Join pieces end to end; round ends and bends bring hundreds that all but coincide, hence the grid."""
    corners = np.concatenate([np.stack([part.starts, part.ends], axis=1) for part in stretches])
    of_piece = np.concatenate([np.stack([part.start_widths, part.end_widths], axis=1) for part in stretches])
    keys, numbers = np.unique(_keys_of(corners.reshape(-1, 2)), return_inverse=True)
    widths = np.full(len(keys), np.inf)
    np.minimum.at(widths, numbers, of_piece.ravel())
    links = np.sort(numbers.reshape(-1, 2), axis=1)
    links = links[np.unique(links[:, 0] * len(keys) + links[:, 1], return_index=True)[1]]
    real = links[links[:, 0] != links[:, 1]]
    lone = np.setdiff1d(links, real)
    places = _places_of(keys)
    joined = shapely.line_merge(shapely.multilinestrings(shapely.linestrings(places[real])))
    chains = shapely.simplify(shapely.get_parts(joined), _GRAIN / 2)
    return _Net(chains, shapely.points(places[lone]), keys, widths, np.bincount(real.ravel(), minlength=len(keys)))


def _keys_of(places: Floats) -> Wholes:
    cells = np.round(places / _GRAIN).astype(np.int64)
    return np.asarray(cells[:, 0] * _ROW + cells[:, 1])


def _places_of(keys: Wholes) -> Floats:
    across = (keys + _ROW // 2) // _ROW
    return np.column_stack([across, keys - across * _ROW]) * _GRAIN


class _Ends(NamedTuple):
    """One end of each chain: whether it is a line's free end, where, (n, 2), which way on, and how wide it is there.

    ``back``: (n,) by how much the middle of a tube ends before that of the line.
    """

    free: Flags
    places: Floats
    ahead: Floats
    widths: Floats
    back: Floats


def _ends_of(net: _Net, first: int, second: int, width: float, within: MultiPolygon) -> _Ends:
    end, before = (shapely.get_coordinates(shapely.get_point(net.chains, place)) for place in (first, second))
    node = np.searchsorted(net.keys, _keys_of(end))
    back = (width - net.widths[node]) / 2
    ahead = (end - before) / np.maximum(np.hypot(*(end - before).T), _GRAIN)[:, None]
    beyond = end + (net.widths[node] / 2 + _FREE * width)[:, None] * ahead
    free = (net.degrees[node] == 1) & (back > _GRAIN) & ~shapely.contains_xy(within, *beyond.T)
    return _Ends(free, end, ahead, net.widths[node], back)


def _shortened(net: _Net, width: float, within: MultiPolygon) -> tuple[Shapes, Shapes]:
    """Return the chains cut back at their free ends, so that a tube round them ends where the line did.

    With them come the last stretches of lines that end square, each from where its chain is cut to where the line ends.
    """
    chains = net.chains
    square_ends = []
    cuts = np.full(len(chains), MultiPolygon(), dtype=object)
    for first, second in _BOTH_ENDS:
        ends = _ends_of(net, first, second, width, within)
        square_ends.append(_square_ends(ends, within))
        discs = shapely.buffer(shapely.points(ends.places[ends.free]), ends.back[ends.free], quad_segs=4)
        cuts[ends.free] = in_each(joined, cuts[ends.free], discs)
    shortened = in_each(without, chains, cuts)
    gone = shapely.is_empty(shortened)
    shortened[gone] = shapely.line_interpolate_point(chains[gone], 0.5, normalized=True)
    return np.asarray(shortened), np.concatenate(square_ends)


def _square_ends(ends: _Ends, within: MultiPolygon) -> Shapes:
    """Return the last stretches of those free lines whose ink reaches into both corners of their end."""
    across = np.column_stack([-ends.ahead[:, 1], ends.ahead[:, 0]])
    half = ends.widths[:, None] / 2
    corners = [ends.places + _INTO_CORNER * half * (ends.ahead + side * across) for side in (1, -1)]
    square = ends.free & shapely.contains_xy(within, *corners[0].T) & shapely.contains_xy(within, *corners[1].T)
    stretches = np.stack([ends.places - ends.back[:, None] * ends.ahead, ends.places + half * ends.ahead], axis=1)
    return np.asarray(shapely.linestrings(stretches[square]))
