"""Triangles seen from above: the highest of them over each point of a lattice."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

_BATCH = 400_000
"""Points over which triangles are looked at at a time, and triangles too, so that memory stays near 100 MB."""

_ON_EDGE = 1e-6
"""How far outside a triangle, as a share of its height over the edge, a point still counts as on the edge."""

_Floats = NDArray[np.float64]


def seen_from_above(
    places: _Floats, heights: _Floats, triangles: NDArray[np.int64], shape: tuple[int, int]
) -> NDArray[np.float32]:
    """Return the greatest height over each lattice point, (rows, columns) mm; -inf where no triangle is.

    ``places``: (n, 2) corners in steps of the lattice, whose points are at whole numbers of columns and rows.
    ``heights``: (n,) mm. ``triangles``: (m, 3) numbers of corners, facing either way. Best for triangles that are not
    much larger than a step.
    """
    top = np.full(shape[0] * shape[1], -np.inf, dtype=np.float32)
    for first in range(0, len(triangles), _BATCH):
        x, y, z = _corners(places, heights, triangles[first : first + _BATCH])
        column, columns = _points_between(x, shape[1])
        row, rows = _points_between(y, shape[0])
        held = np.flatnonzero((columns > 0) & (rows > 0))
        x, y, z = ([corner[held] for corner in along] for along in (x, y, z))
        boxes = (column[held], row[held], columns[held], rows[held])
        for owner, across, up in _points_in_boxes(*boxes):
            covered, height = _heights_at((x, y, z), owner, across, up)
            _raise_to(top, up[covered] * shape[1] + across[covered], height)
    return top.reshape(shape)


def _corners(places: _Floats, heights: _Floats, triangles: NDArray[np.int64]) -> tuple[list[_Floats], ...]:
    corners = [np.ascontiguousarray(triangles[:, k]) for k in range(3)]
    return tuple([along[corner] for corner in corners] for along in (places[:, 0], places[:, 1], heights))


def _points_between(ends: list[_Floats], count: int) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return the first lattice point at or after the least of three ends, and how many there are up to the greatest."""
    a, b, c = ends
    first = np.maximum(np.ceil(np.minimum(np.minimum(a, b), c) - _ON_EDGE), 0).astype(np.int64)
    last = np.minimum(np.floor(np.maximum(np.maximum(a, b), c) + _ON_EDGE), count - 1).astype(np.int64)
    return first, last - first + 1


def _points_in_boxes(
    column: NDArray[np.int64], row: NDArray[np.int64], columns: NDArray[np.int64], rows: NDArray[np.int64]
) -> Iterator[tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.int64]]]:
    """Yield, a batch at a time, all points in boxes: the box's number, the point's column and its row."""
    count = columns * rows
    total = np.cumsum(count)
    if not len(total):
        return
    cuts = np.searchsorted(total, np.arange(_BATCH, total[-1], _BATCH))
    for part in np.split(np.arange(len(count)), np.unique(cuts)):
        owner = np.repeat(part, count[part])
        place = np.arange(len(owner)) - np.repeat(np.cumsum(count[part]) - count[part], count[part])
        up, across = np.divmod(place, columns[owner])
        yield owner, column[owner] + across, row[owner] + up


def _heights_at(
    corners: tuple[list[_Floats], ...], owner: NDArray[np.int64], across: NDArray[np.int64], up: NDArray[np.int64]
) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
    """Return which points lie in their triangles, ``owner``, and how high these are there, by shares of the corners."""
    x, y, z = corners
    ax, ay, az = x[0][owner], y[0][owner], z[0][owner]
    bx, by = x[1][owner] - ax, y[1][owner] - ay
    cx, cy = x[2][owner] - ax, y[2][owner] - ay
    px, py = across - ax, up - ay
    doubled = bx * cy - cx * by
    with np.errstate(divide="ignore", invalid="ignore"):
        of_b = (px * cy - cx * py) / doubled
        of_c = (bx * py - px * by) / doubled
        inside = (of_b >= -_ON_EDGE) & (of_c >= -_ON_EDGE) & (of_b + of_c <= 1 + _ON_EDGE)
    covered = np.flatnonzero(inside)
    triangle = owner[covered]
    height = (
        az[covered] + of_b[covered] * (z[1][triangle] - az[covered]) + of_c[covered] * (z[2][triangle] - az[covered])
    )
    return covered, height.astype(np.float32)


def _raise_to(top: NDArray[np.float32], at: NDArray[np.int64], height: NDArray[np.float32]) -> None:
    """Raise ``top[at]`` to ``height`` where that is higher; a place may come several times."""
    while len(at):
        higher = height > top[at]
        at, height = at[higher], height[higher]
        top[at] = height
