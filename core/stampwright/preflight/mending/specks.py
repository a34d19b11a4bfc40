"""Specks grown to the size that holds: away from what is beside them, and no nearer to it than a gap."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry import MultiPolygon

from ...plane.overlays import all_joined, in_each, without
from ..islands import Islands, without_islands
from ..limits import EYE, PrintLimits
from ..widths.edges import Floats, Wholes, list_edges
from .tubes import MARGIN, MENDING_GRID, QUARTER, Shapes, polygons_of

_TURNS = 12
"""How often discs are moved out of each other's way."""

_SHARE = 0.5  # of what is wanting is made up for at each turn


def grown_specks(inked: MultiPolygon, specks: Islands, limits: PrintLimits) -> MultiPolygon:
    """Return ink whose specks are discs of the size that holds; mm, paper frame.

    A disc covers its speck and lies within that as far from other ink as it can: the dot of an i grows upwards, those
    of a pair outwards. What of it still lies nearer to other ink than a gap stays paper.
    """
    if not len(specks):
        return inked
    size = max(limits.speck, limits.line_blocks)
    beside = _Beside.of(inked, specks, size + limits.gap + EYE)
    centres = _moved_aside(specks, beside, size, limits.gap)
    discs: Shapes = np.asarray(shapely.buffer(shapely.points(centres), size / 2 + MARGIN, quad_segs=QUARTER))
    apart = _clear_of_each_other(discs, specks, beside, limits.gap)
    # What stands off by no more than a gap prints as good as closed: by as much as an eye sees besides, where it holds.
    seen = _clear_of_ink(apart, beside, limits.gap + EYE)
    holds = 2 * shapely.minimum_bounding_radius(seen) >= size
    left = np.where(holds, seen, _clear_of_ink(apart, beside, limits.gap + MARGIN))
    pieces, owner = shapely.get_parts(left, return_index=True)
    own = pieces[shapely.intersects(pieces, specks.shapes[owner])]
    return polygons_of(shapely.union(inked, all_joined(own), grid_size=MENDING_GRID))


class _Beside:
    """What lies near specks: ``sides`` of other ink, and the numbers of specks and sides, and of pairs of specks.

    ``pairs``: (n, 2), each pair both ways.
    """

    def __init__(self, sides: Shapes, speck: Wholes, side: Wholes, pairs: Wholes) -> None:
        self.sides, self.speck, self.side, self.pairs = sides, speck, side, pairs

    @staticmethod
    def of(inked: MultiPolygon, specks: Islands, reach: float) -> _Beside:
        one, other = shapely.STRtree(specks.shapes).query(specks.shapes, predicate="dwithin", distance=reach)
        pairs = np.column_stack([one, other])[one != other]
        large = without_islands(inked, specks)
        if large.is_empty:
            return _Beside(specks.shapes[:0], one[:0], one[:0], pairs)
        edges = list_edges(large, "ink", reach)
        sides = shapely.linestrings(np.stack([edges.starts, edges.ends], axis=1))
        speck, side = shapely.STRtree(sides).query(specks.shapes, predicate="dwithin", distance=reach)
        return _Beside(sides, speck, side, pairs)


def _moved_aside(specks: Islands, beside: _Beside, size: float, gap: float) -> Floats:
    """Return where discs of some size lie, (n, 2) mm: each covers its speck, and is clear of others where it can be."""
    first = specks.centres
    slack = np.maximum(size - specks.sizes, 0.0) / 2
    centres = first.copy()
    for _ in range(_TURNS):
        way = np.zeros_like(centres)
        to_side = shapely.shortest_line(beside.sides[beside.side], shapely.points(centres[beside.speck]))
        ends = shapely.get_coordinates(to_side).reshape(-1, 2, 2)
        # Of all sides of an outline the nearest alone pushes.
        away = ends[:, 1] - ends[:, 0]
        off = np.hypot(*away.T)
        nearest = np.lexsort((off, beside.speck))
        nearest = nearest[np.diff(beside.speck[nearest], prepend=-1) > 0]
        wanting = np.maximum(size / 2 + gap - off[nearest], 0.0)
        way[beside.speck[nearest]] += (wanting / np.maximum(off[nearest], 1e-9))[:, None] * away[nearest]
        one, other = beside.pairs.T
        apart = centres[one] - centres[other]
        off = np.maximum(np.hypot(*apart.T), 1e-9)
        np.add.at(way, one, (np.maximum(size + gap - off, 0.0) / 2 / off)[:, None] * apart)
        moved = centres + _SHARE * way - first
        far = np.hypot(*moved.T)
        centres = first + moved * np.minimum(1.0, slack / np.maximum(far, 1e-9))[:, None]
    return centres


def _clear_of_each_other(discs: Shapes, specks: Islands, beside: _Beside, gap: float) -> Shapes:
    """Return discs without what lies beyond the lane of ``gap`` mm halfway between their speck and another."""
    one, other = beside.pairs.T
    met = shapely.dwithin(discs[one], discs[other], gap)
    one, other = one[met], other[met]
    lines = shapely.get_coordinates(shapely.shortest_line(specks.shapes[one], specks.shapes[other])).reshape(-1, 2, 2)
    ahead = lines[:, 1] - lines[:, 0]
    ahead /= np.maximum(np.hypot(*ahead.T), 1e-9)[:, None]
    far = 4 * np.sqrt(shapely.area(discs[one]).max(initial=0.0))
    across = far * np.column_stack([-ahead[:, 1], ahead[:, 0]])
    edge = lines.mean(axis=1) - (gap / 2 + MARGIN) * ahead
    back = edge + far * ahead
    beyond = np.stack([edge - across, edge + across, back + across, back - across], axis=1)
    return _without_all(discs, one, np.asarray(shapely.polygons(beyond)))


def _clear_of_ink(discs: Shapes, beside: _Beside, gap: float) -> Shapes:
    """Return discs without what lies nearer than ``gap`` mm to the sides of other ink."""
    near = shapely.dwithin(discs[beside.speck], beside.sides[beside.side], gap)
    speck, side = beside.speck[near], beside.side[near]
    of, at = np.unique(speck, return_inverse=True)
    order = np.argsort(at, kind="stable")
    lines = shapely.multilinestrings(beside.sides[side[order]], indices=at[order]) if len(order) else discs[:0]
    return _without_all(discs, of, np.asarray(shapely.buffer(lines, gap, quad_segs=QUARTER)))


def _without_all(discs: Shapes, of: Wholes, regions: Shapes) -> Shapes:
    """Return discs without some regions, (n,), that are cut out of those numbered ``of``."""
    left = discs.copy()
    order = np.argsort(of, kind="stable")
    rank = np.arange(len(order)) - np.searchsorted(of[order], of[order])
    for turn in range(int(rank.max(initial=-1)) + 1):
        chosen = order[rank == turn]
        left[of[chosen]] = in_each(without, left[of[chosen]], regions[chosen])
    return left
