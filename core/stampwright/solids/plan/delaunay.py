"""Triangulations improved by turning diagonals until they are Delaunay's, all independent ones at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...plane.rings import cross_product

_MOST_ROUNDS = 200
_TURN = 1e-9
"""A diagonal is turned when the sine of the two angles facing it falls this far below zero: rounding never loops."""


def turn_diagonals(points: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return the constrained Delaunay triangulation that diagonal turns reach from ``triangles``.

    ``points``: (n, 2) float, mm. ``triangles``: (m, 3) indices, counter-clockwise; edges in one triangle only stay. A
    diagonal is turned when the angles facing it add up to more than 180 degrees (Lawson 1977); triangles without area
    between others disappear this way.
    """
    return turned_with_twins(points, triangles)[0]


def turned_with_twins(
    points: NDArray[np.float64], triangles: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return what :func:`turn_diagonals` does, and what :func:`twins` then says of it."""
    corners = np.array(triangles, dtype=np.int64).reshape(-1)
    twin = twins(corners.reshape(-1, 3))
    suspects = np.flatnonzero(twin > np.arange(len(twin)))
    suspected = np.zeros(len(twin), dtype=np.bool_)
    for _ in range(_MOST_ROUNDS):
        suspects = suspects[_must_turn(points, corners, twin, suspects)]
        if not len(suspects):
            break
        leading = _are_independent(suspects, twin, len(corners) // 3)
        touched = _turn(corners, twin, suspects[leading])
        # What was put off stays under suspicion; half edges have moved, so each is looked up by its new place.
        either = np.concatenate((touched, suspects[~leading]))
        either = either[twin[either] >= 0]
        suspected[np.minimum(either, twin[either])] = True
        suspects = np.flatnonzero(suspected)
        suspected[suspects] = False
    return corners.reshape(-1, 3), twin


def twins(triangles: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return, for each half edge 3 t + i (corner i to corner i + 1 of triangle t), the opposite one, or -1."""
    start = triangles.reshape(-1)
    end = triangles[:, [1, 2, 0]].reshape(-1)
    span = np.int64(start.max(initial=0)) + 1
    keys = start * span + end
    order = np.argsort(keys)
    found = np.searchsorted(keys, end * span + start, sorter=order)
    found = order[np.minimum(found, len(order) - 1)]
    return np.where(keys[found] == end * span + start, found, -1)


def _after(half: NDArray[np.int64]) -> NDArray[np.int64]:
    return np.where(half % 3 == 2, half - 2, half + 1)


def _before(half: NDArray[np.int64]) -> NDArray[np.int64]:
    return np.where(half % 3 == 0, half + 2, half - 1)


def _must_turn(
    points: NDArray[np.float64], corners: NDArray[np.int64], twin: NDArray[np.int64], half: NDArray[np.int64]
) -> NDArray[np.bool_]:
    """Whether the diagonal between two triangles is to be turned: not Delaunay's, and the turned one lies inside."""
    other = twin[half]
    a, b = points[corners[half]], points[corners[other]]
    c, d = points[corners[_before(half)]], points[corners[_before(other)]]
    ac, bc, ad, bd = a - c, b - c, a - d, b - d
    sine_c, cosine_c = cross_product(ac, bc), (ac * bc).sum(axis=1)
    sine_d, cosine_d = cross_product(bd, ad), (bd * ad).sum(axis=1)
    scale = np.sqrt((ac**2).sum(axis=1) * (bc**2).sum(axis=1) * (ad**2).sum(axis=1) * (bd**2).sum(axis=1))
    # Exact on the grid: both new triangles, (c, a, d) and (d, b, c), must have area.
    inside = (cross_product(a - c, d - c) > 0) & (cross_product(b - d, c - d) > 0)
    must: NDArray[np.bool_] = inside & (sine_c * cosine_d + cosine_c * sine_d < -_TURN * scale)
    return must


def _are_independent(half: NDArray[np.int64], twin: NDArray[np.int64], triangle_count: int) -> NDArray[np.bool_]:
    """Return which half edges are first in both of their triangles."""
    first = np.full(triangle_count, len(half), dtype=np.int64)
    rank = np.arange(len(half))
    one, two = half // 3, twin[half] // 3
    np.minimum.at(first, one, rank)
    np.minimum.at(first, two, rank)
    leading: NDArray[np.bool_] = (first[one] == rank) & (first[two] == rank)
    return leading


def _turn(corners: NDArray[np.int64], twin: NDArray[np.int64], half: NDArray[np.int64]) -> NDArray[np.int64]:
    """Turn diagonals that share no triangle, in place; returns the half edges of all triangles concerned."""
    other = twin[half]
    bc, ca, ad, db = _after(half), _before(half), _after(other), _before(other)
    a, b, c, d = corners[half], corners[other], corners[ca], corners[db]
    one, two = 3 * (half // 3), 3 * (other // 3)
    # Triangles become (c, a, d) and (d, b, c); outer half edges move to these places.
    old = np.concatenate((ca, ad, db, bc))
    new = np.concatenate((one, one + 1, two, two + 1))
    moved = np.arange(len(twin))
    moved[old] = new
    partners = twin[old]
    for place, corner in ((one, c), (one + 1, a), (one + 2, d), (two, d), (two + 1, b), (two + 2, c)):
        corners[place] = corner
    has_partner = partners >= 0
    settled = np.where(has_partner, moved[partners], -1)
    twin[new] = settled
    twin[settled[has_partner]] = new[has_partner]
    twin[one + 2], twin[two + 2] = two + 2, one + 2
    return np.concatenate((new, one + 2, two + 2))
