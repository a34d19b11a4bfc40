"""Guarding: what repair put in or took out where that joined or parted ink is undone."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...plane.overlays import all_joined, common, in_each, without
from ..limits import PrintLimits
from .clearing import paper_kept
from .tubes import MENDING_GRID, polygons_of

_ROUND = 0.002
"""How far round a change is looked, mm: to the ink and the paper that it touches."""

_ROUND_ENDS = 3
"""As broad as so many widened lines, gaps are kept open where what was put in closed them."""

_LONG = 200
"""Points of ink from which on it is clipped before it is overlaid."""


def cleared_where_joined(before: MultiPolygon, after: MultiPolygon, width: float, limits: PrintLimits) -> MultiPolygon:
    """Return mended ink without what of new ink lies in the gaps that it closed; ``width``: of widened lines, mm."""
    added = shapely.get_parts(polygons_of(without(after, before)))
    bad = added[_changes_parts(added, before, after)]
    if not len(bad):
        return after
    # What runs round the end of a gap meets where that is broader than lines grow.
    paper = paper_kept(before, _ROUND_ENDS * width, limits, shapely.bounds(bad))
    return polygons_of(without(after, common(all_joined(bad), paper)))


def undo_what_joins_or_parts(before: MultiPolygon, after: MultiPolygon) -> MultiPolygon:
    """Return mended ink that hangs together as it did before.

    A change of the ink is harmless where, close round it, there are as many parts of ink and as many of paper as before
    (both numbers stay under a deformation; a bridge, a cut, a hole or a filling changes one of them). Any other change
    is undone, and the ink there is what it was.
    """
    before = polygons_of(shapely.set_precision(before, MENDING_GRID))
    added = shapely.get_parts(polygons_of(without(after, before)))
    removed = shapely.get_parts(polygons_of(without(before, after)))
    bad_added = added[_changes_parts(added, before, after)]
    bad_removed = removed[_changes_parts(removed, before, after)]
    if not len(bad_added) and not len(bad_removed):
        return after
    mended = polygons_of(shapely.difference(after, all_joined(bad_added), grid_size=MENDING_GRID))
    return polygons_of(shapely.union(mended, all_joined(bad_removed), grid_size=MENDING_GRID))


def without_new_holes(before: MultiPolygon, after: MultiPolygon, limits: PrintLimits) -> MultiPolygon:
    """Return mended ink with those holes filled that were pinched off a notch or a counter, and would flood.

    Of a counter that has fallen apart the largest rest stays.
    """
    holes, owner = _holes(after)
    known, _ = _holes(before)
    if len(holes) == len(known):
        return after
    tree = shapely.STRtree(known)
    hole, counter = tree.query(shapely.point_on_surface(holes), predicate="intersects")
    of_counter = np.full(len(holes), -1)
    of_counter[hole] = counter
    areas = shapely.area(holes)
    order = np.lexsort((-areas, of_counter))
    largest = order[np.diff(of_counter[order], prepend=-2) != 0]
    kept = np.zeros(len(holes), dtype=bool)
    kept[largest] = of_counter[largest] >= 0
    filled = ~kept & (areas < np.pi * limits.counter**2 / 4)
    if not filled.any():
        return after
    parts = shapely.get_parts(after).copy()
    for part in np.unique(owner[filled]):
        left = holes[(owner == part) & ~filled]
        parts[part] = shapely.Polygon(parts[part].exterior, [each.exterior for each in left])
    return MultiPolygon(list(parts))


def _holes(ink: MultiPolygon) -> tuple[NDArray[np.object_], NDArray[np.intp]]:
    """Return the holes of ink as polygons, (n,), and the part that each is in."""
    rings, part = shapely.get_rings(shapely.get_parts(ink), return_index=True)
    inner = np.diff(part, prepend=-1) == 0
    return shapely.polygons(rings[inner]), part[inner]


def _changes_parts(changes: NDArray[np.object_], before: MultiPolygon, after: MultiPolygon) -> NDArray[np.bool_]:
    if not len(changes):
        return np.zeros(0, dtype=bool)
    rounds = shapely.buffer(changes, _ROUND, quad_segs=2)
    counts = [_parts_in(rounds, region, inside) for inside in (True, False) for region in (before, after)]
    return np.asarray((counts[0] != counts[1]) | (counts[2] != counts[3]))


def _parts_in(rounds: NDArray[np.object_], ink: MultiPolygon, inside: bool) -> NDArray[np.int64]:
    """Count the parts of ink, or of paper, within each of the rounds."""
    windows = shapely.bounds(rounds) + np.array([-_ROUND, -_ROUND, _ROUND, _ROUND])
    counts = np.zeros(len(rounds), dtype=np.int64)
    overlay = common if inside else without
    for group, near in _near_each(ink, windows, np.arange(len(rounds))):
        pieces, of_round = shapely.get_parts(in_each(overlay, rounds[group], near), return_index=True)
        seen = shapely.area(pieces) > _ROUND**2 / 100
        counts[group] = np.bincount(of_round[seen], minlength=len(group))
    return counts


def _near_each(
    ink: MultiPolygon, windows: NDArray[np.float64], group: NDArray[np.intp]
) -> Iterator[tuple[NDArray[np.intp], shapely.Geometry]]:
    """Yield groups of windows, (n,) indices, with what of ink lies in them.

    Windows are halved over and over, and ink clipped to each half: one part may be as long as the whole drawing, and
    to clip that for each of its thousands of windows anew takes as many times as long.
    """
    bounds = windows[group]
    near = _near(ink, np.concatenate([bounds[:, :2].min(axis=0), bounds[:, 2:].max(axis=0)]))
    if len(group) == 1 or shapely.get_num_coordinates(near) < _LONG:
        yield group, near
        return
    middles = bounds[:, :2] + bounds[:, 2:]
    order = np.argsort(middles[:, int(np.ptp(middles, axis=0).argmax())], kind="stable")
    for half in np.array_split(group[order], 2):
        yield from _near_each(near, windows, half)


def _near(ink: MultiPolygon, window: NDArray[np.float64]) -> shapely.Geometry:
    """Return what of ink lies in a window, far quicker than by overlaying the whole; all of it where that fails."""
    if shapely.get_num_coordinates(ink) < _LONG:
        return ink
    try:
        clipped = shapely.clip_by_rect(ink, *window)
    except shapely.errors.GEOSException:
        # What is left of a ring may be too little for one.
        return ink
    return clipped if shapely.is_valid(clipped) else ink
