"""Guarding: what repair put in or took out where that joined or parted ink is undone."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from .tubes import MENDING_GRID, polygons_of

_ROUND = 0.002
"""How far round a change is looked, mm: to the ink and the paper that it touches."""

_LONG = 200
"""Points of ink from which on it is clipped before it is overlaid."""


def undo_what_joins_or_parts(before: MultiPolygon, after: MultiPolygon) -> MultiPolygon:
    """Return mended ink that hangs together as it did before.

    A change of the ink is harmless where, close round it, there are as many parts of ink and as many of paper as before
    (both numbers stay under a deformation; a bridge, a cut, a hole or a filling changes one of them). Any other change
    is undone, and the ink there is what it was.
    """
    before = polygons_of(shapely.set_precision(before, MENDING_GRID))
    added = shapely.get_parts(polygons_of(after.difference(before)))
    removed = shapely.get_parts(polygons_of(before.difference(after)))
    bad_added = added[_changes_parts(added, before, after)]
    bad_removed = removed[_changes_parts(removed, before, after)]
    if not len(bad_added) and not len(bad_removed):
        return after
    mended = shapely.difference(after, shapely.union_all(bad_added), grid_size=MENDING_GRID)
    return polygons_of(shapely.union(mended, shapely.union_all(bad_removed), grid_size=MENDING_GRID))


def _changes_parts(changes: NDArray[np.object_], before: MultiPolygon, after: MultiPolygon) -> NDArray[np.bool_]:
    if not len(changes):
        return np.zeros(0, dtype=bool)
    rounds = shapely.buffer(changes, _ROUND, quad_segs=2)
    counts = [
        _parts_in(rounds, shapely.get_parts(region), inside) for inside in (True, False) for region in (before, after)
    ]
    return np.asarray((counts[0] != counts[1]) | (counts[2] != counts[3]))


def _parts_in(rounds: NDArray[np.object_], parts: NDArray[np.object_], inside: bool) -> NDArray[np.int64]:
    """Count the parts of ink, or of paper, within each of the rounds."""
    of_round, of_part = shapely.STRtree(parts).query(rounds, predicate="intersects")
    order = np.argsort(of_round, kind="stable")
    groups = np.split(parts[of_part[order]], np.flatnonzero(np.diff(of_round[order])) + 1)
    counts = np.zeros(len(rounds), dtype=np.int64) if inside else np.ones(len(rounds), dtype=np.int64)
    windows = shapely.bounds(rounds) + np.array([-_ROUND, -_ROUND, _ROUND, _ROUND])
    for index, group in zip(np.unique(of_round), groups, strict=False):
        ink = _near(MultiPolygon(list(group)), windows[index])
        region = shapely.intersection(rounds[index], ink) if inside else shapely.difference(rounds[index], ink)
        pieces = shapely.get_parts(region)
        counts[index] = int((shapely.area(pieces) > _ROUND**2 / 100).sum())
    return counts


def _near(ink: MultiPolygon, window: NDArray[np.float64]) -> shapely.Geometry:
    """Return what of ink lies in a window, far quicker than by overlaying the whole; all of it where that fails."""
    if shapely.get_num_coordinates(ink) < _LONG:
        return ink
    clipped = shapely.clip_by_rect(ink, *window)
    return clipped if shapely.is_valid(clipped) else ink
