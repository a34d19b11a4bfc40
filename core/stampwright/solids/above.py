"""Triangles seen from above: the highest of them over each point of a lattice."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

_BATCH = 400_000
"""Points over which triangles are looked at at a time, and triangles too, so that memory stays near 100 MB."""

_LARGE = 8
"""Points in the box round a triangle from which on it is looked at row by row: most of a sliver's box is beside it."""

_ON_EDGE = 1e-6
"""How far outside a triangle, as a share of its height over the edge, a point still counts as on the edge."""

_Floats = NDArray[np.float64]
_Whole = NDArray[np.int64]

_Points = tuple[_Whole, _Whole, _Whole]
"""Numbers of triangles, and the column and row of a point that each may cover."""


def seen_from_above(
    places: _Floats, heights: _Floats, triangles: NDArray[np.int64], shape: tuple[int, int]
) -> NDArray[np.float32]:
    """Return the greatest height over each lattice point, (rows, columns) mm; -inf where no triangle is.

    ``places``: (n, 2) corners in steps of the lattice, whose points are at whole numbers of columns and rows.
    ``heights``: (n,) mm. ``triangles``: (m, 3) numbers of corners, facing either way. Quickest for triangles that are
    not much larger than a step.
    """
    top = np.full(shape[0] * shape[1], -np.inf, dtype=np.float32)
    for first in range(0, len(triangles), _BATCH):
        x, y, z = _corners(places, heights, triangles[first : first + _BATCH])
        column, columns = _points_between(x, shape[1])
        row, rows = _points_between(y, shape[0])
        boxes = np.where((columns > 0) & (rows > 0), columns * rows, 0)
        small, large = np.flatnonzero((boxes > 0) & (boxes < _LARGE)), np.flatnonzero(boxes >= _LARGE)
        for points in (
            _points_in_boxes(small, column[small], row[small], columns[small], rows[small]),
            _points_in_rows(large, (x, y), row[large], rows[large], shape[1]),
        ):
            for owner, across, up in points:
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


def _points_in_boxes(which: _Whole, column: _Whole, row: _Whole, columns: _Whole, rows: _Whole) -> Iterator[_Points]:
    """Yield, a batch at a time, all points in boxes."""
    for box, place in _spread(columns * rows):
        up, across = np.divmod(place, columns[box])
        yield which[box], column[box] + across, row[box] + up


def _points_in_rows(
    which: _Whole, corners: tuple[list[_Floats], list[_Floats]], row: _Whole, rows: _Whole, count: int
) -> Iterator[_Points]:
    """Yield, a batch at a time, the points of each row between where triangles begin and end there."""
    x, y = corners
    for each, place in _spread(rows):
        owner, up = which[each], row[each] + place
        left, right = np.full(len(owner), np.inf), np.full(len(owner), -np.inf)
        for one, other in ((0, 1), (1, 2), (2, 0)):
            start, end = y[one][owner], y[other][owner]
            met = (np.minimum(start, end) <= up + _ON_EDGE) & (np.maximum(start, end) >= up - _ON_EDGE)
            # A level side is met all along: at both of its ends.
            share = np.divide(up - start, end - start, out=np.zeros_like(start), where=start != end).clip(0.0, 1.0)
            here = x[one][owner] + share * (x[other][owner] - x[one][owner])
            there = np.where(start == end, x[other][owner], here)
            left = np.where(met, np.minimum(left, np.minimum(here, there)), left)
            right = np.where(met, np.maximum(right, np.maximum(here, there)), right)
        first = np.ceil(np.clip(left - _ON_EDGE, 0, count)).astype(np.int64)
        last = np.floor(np.clip(right + _ON_EDGE, -1, count - 1)).astype(np.int64)
        for span, along in _spread(np.maximum(last - first + 1, 0)):
            yield owner[span], first[span] + along, up[span]


def _spread(count: _Whole) -> Iterator[tuple[_Whole, _Whole]]:
    """Yield, a batch at a time, ``count[i]`` entries for each i: i itself, and 0, 1, 2 and so on."""
    total = np.cumsum(count)
    if not len(total):
        return
    cuts = np.searchsorted(total, np.arange(_BATCH, total[-1], _BATCH))
    for part in np.split(np.arange(len(count)), np.unique(cuts)):
        owner = np.repeat(part, count[part])
        yield owner, np.arange(len(owner)) - np.repeat(np.cumsum(count[part]) - count[part], count[part])


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
