"""Beads of one layer as the area that they cover, seen from above."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...plane import overlays
from ...plane.regions import filled_parts, sound_parts
from .beads import Beads, width_of

STRAY = 0.005
"""How far paths and outlines may be straightened, mm: an eighth of a pixel at 600 dpi."""

WIDTH_STEP = 0.01
"""Widths within this of each other, mm, are laid as one bead."""

_ROUND = 4  # straight pieces to a quarter of a bead's round end: 1.9 % of half its width off a true arc


def cover(beads: Beads, height: float) -> MultiPolygon:
    """Return the area that beads of one layer cover, a valid region, mm; ``height``: of the layer, mm."""
    if not len(beads):
        return MultiPolygon()
    strips = strips_of(beads, height)
    # Round ends leave many points that say nothing.
    return sound_parts(overlays.all_joined(strips).simplify(STRAY, preserve_topology=False))


def within(one: BaseGeometry, other: BaseGeometry) -> MultiPolygon:
    """Return what two regions have in common."""
    return filled_parts(overlays.common(one, other))


def without(one: BaseGeometry, other: BaseGeometry) -> MultiPolygon:
    """Return what of a region lies outside another."""
    return filled_parts(overlays.without(one, other))


def together(one: BaseGeometry, other: BaseGeometry) -> MultiPolygon:
    """Return what lies in either of two regions."""
    return filled_parts(overlays.joined(one, other))


def wide_parts(region: BaseGeometry, width: float) -> tuple[shapely.Polygon, ...]:
    """Return what of a region is at least ``width`` mm wide, and more than a square of that, the largest first."""
    wide = region.buffer(-width / 2, quad_segs=2).buffer(width / 2, quad_segs=2)
    parts = within(wide, region).geoms
    return tuple(sorted((part for part in parts if part.area > width**2), key=lambda part: -part.area))


def strips_of(beads: Beads, height: float) -> NDArray[np.object_]:
    """Return beads as areas, (m,) polygons: those that lie on in one go and are as wide as each other in one piece."""
    width = np.rint(_widths(beads, height) / WIDTH_STEP).astype(np.int64)
    lines, first = paths_of(beads, width[1:] == width[:-1])
    return np.asarray(shapely.buffer(lines, width[first] * (WIDTH_STEP / 2), quad_segs=_ROUND))


def paths_of(
    beads: Beads, joins: NDArray[np.bool_], stray: float = STRAY
) -> tuple[NDArray[np.object_], NDArray[np.intp]]:
    """Return beads that lie on in one go as lines, (m,), and the first bead of each, (m,).

    ``joins``: (n - 1,), which may be in one line with the one before; ``stray``: how far lines are straightened, mm.
    """
    joins = joins & (beads.run[1:] == beads.run[:-1]) & (beads.start[1:] == beads.end[:-1]).all(axis=1)
    opens = np.concatenate(([True], ~joins))
    path = np.cumsum(opens) - 1
    first = np.flatnonzero(opens)
    # Every bead gives its end, and the first of a path its start before that.
    at = np.arange(len(beads)) + path + 1
    points = np.empty((len(beads) + len(first), 2))
    owner = np.empty(len(points), dtype=np.int64)
    points[at], owner[at] = beads.end, path
    points[at[first] - 1], owner[at[first] - 1] = beads.start[first], np.arange(len(first))
    return shapely.simplify(shapely.linestrings(points, indices=owner), stray), first


def _widths(beads: Beads, height: float) -> NDArray[np.float64]:
    """Return how wide beads lie, mm: no wider than a round drop of all that is laid in one go."""
    run = np.cumsum(np.concatenate(([0], beads.run[1:] != beads.run[:-1])))
    drop = np.sqrt(4 / np.pi * np.bincount(run, beads.volume) / height)
    return np.asarray(np.minimum(width_of(beads.section, height), drop[run]))
