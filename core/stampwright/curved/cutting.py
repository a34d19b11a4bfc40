"""A mesh cut along a plane across x, edge by edge, so that both sides stay joined to what they were joined to."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]


def cut_at(points: Floats, triangles: Indices, at: float) -> tuple[Floats, Indices]:
    """Return the same surface with no triangle that passes through the plane x = ``at``, mm.

    ``points``: (n, 3) float, mm; ``triangles``: (m, 3) int. The points come first and unchanged.
    """
    side = np.sign(points[:, 0] - at).astype(np.int64)
    sides = side[triangles]
    passing = (sides.min(axis=1) < 0) & (sides.max(axis=1) > 0)
    if not passing.any():
        return points, triangles
    corners, sides = triangles[passing], sides[passing]
    starts, ends = corners.ravel(), corners[:, (1, 2, 0)].ravel()
    crossing = side[starts] * side[ends] < 0
    count = np.int64(len(points))
    keys = np.minimum(starts, ends) * count + np.maximum(starts, ends)
    edges, which = np.unique(keys[crossing], return_inverse=True)
    low, high = points[edges // count], points[edges % count]
    share = (at - low[:, 0]) / (high[:, 0] - low[:, 0])
    added = low + (high - low) * share[:, None]
    added[:, 0] = at
    named = np.full(len(keys), -1)
    named[crossing] = len(points) + which
    names = named.reshape(-1, 3)
    on_plane = (sides == 0).any(axis=1)
    through = _halved(corners[on_plane], sides[on_plane], names[on_plane])
    parted = _parted(corners[~on_plane], sides[~on_plane], names[~on_plane])
    return np.concatenate((points, added)), np.concatenate((triangles[~passing], through, parted))


def cut_between(points: Floats, triangles: Indices, low: float, high: float, *, near: float) -> tuple[Floats, Indices]:
    """Return what of a surface lies from x = ``low`` to ``high``, mm, open at both ends.

    Points within ``near`` of a cut, mm, are put on it. Some of the points may be named by no triangle any more.
    """
    points = points.copy()
    for at in (low, high):
        points[np.abs(points[:, 0] - at) < near, 0] = at
    for at in (low, high):
        points, triangles = cut_at(points, triangles, at)
    middles = points[triangles, 0].mean(axis=1)
    return points, triangles[(middles > low) & (middles < high)]


def _turned_to(rows: Indices, first: Indices) -> Indices:
    """Return rows of three turned round so that place ``first`` comes first."""
    turned: Indices = rows[np.arange(len(rows))[:, None], (first[:, None] + np.arange(3)) % 3]
    return turned


def _halved(corners: Indices, sides: Indices, names: Indices) -> Indices:
    """Return two triangles for each that has one corner in the plane."""
    first = np.argmax(sides == 0, axis=1)
    a, b, c = _turned_to(corners, first).T
    middle = _turned_to(names, first)[:, 1]
    return np.concatenate((np.stack((a, b, middle), 1), np.stack((a, middle, c), 1)))


def _parted(corners: Indices, sides: Indices, names: Indices) -> Indices:
    """Return three triangles for each that has one corner alone on its side."""
    first = np.argmax(sides == -sides.sum(axis=1)[:, None], axis=1)
    a, b, c = _turned_to(corners, first).T
    ab, _, ca = _turned_to(names, first).T
    return np.concatenate((np.stack((a, ab, ca), 1), np.stack((ab, b, c), 1), np.stack((ab, c, ca), 1)))
