"""A region filled evenly: squares of a grid inside, and a strip of triangles between them and the outlines."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ...errors import SolidError
from ...plane.grid import GRID
from .delaunay import turn_diagonals
from .filling import fill
from .outlines import Outlines, follow_rings

MOST_CELLS = 25_000_000
"""Squares of the grid, inked or not: a die of 250 mm by 250 mm in steps of 0.05 mm."""

CLEAR = 0.25
"""A square stays whole when no outline comes nearer than this share of its side."""

_Cells = NDArray[np.bool_]
_Numbers = NDArray[np.int64]


def whole_step(spacing: float) -> float:
    """Return the spacing, mm, rounded so that points so far apart lie on the grid that 32-bit floats hold exactly."""
    return max(1, round(spacing / GRID)) * GRID


def fill_evenly(outer: Outlines, step: float) -> tuple[NDArray[np.float64], _Numbers, int]:
    """Fill the region of ``outer``, whose edges are no longer than ``step`` mm, with triangles about as large.

    ``step``: a whole number of steps of the grid, see :func:`whole_step`. Returns points inside the region, (k, 2) mm,
    multiples of ``step``; triangles, (m, 3), counter-clockwise, whose numbers count the points of ``outer`` first; and
    how many of these, the first ones, are halves of squares. Raises :class:`SolidError` when there would be more than
    ``MOST_CELLS`` squares.
    """
    cells, first = _whole_cells(outer, step)
    # A rim of no cells, so that every whole one has neighbours on all sides.
    cells = _without_corner_contacts(np.pad(cells, 1))
    number, points = _lattice(cells)
    squares = _squares(cells, number)
    stair = _outlines_of(cells, number)
    places: NDArray[np.float64] = np.multiply(points + (first - 1), step, dtype=np.float64)
    if not len(places):
        return places, turn_diagonals(outer.points, fill(outer)), 0
    ring = Outlines(places[stair[0]], np.concatenate(([0], np.cumsum(stair[1]))))
    strip = fill(outer, ring)
    count = len(outer.points)
    # The grid's corners are numbered by ring here, by lattice in the end.
    named = np.concatenate((np.arange(count), count + stair[0]))
    both = np.concatenate((outer.points, ring.points))
    return places, np.concatenate((squares + count, named[turn_diagonals(both, strip)])), len(squares)


def rings_round(cells: _Cells) -> list[NDArray[np.float64]]:
    """Return the outlines of marked cells, (rows, columns), as rings of their corners, (k, 2) column and row.

    The cells lie to the left. Of cells that meet in a corner alone one is left out.
    """
    rimmed = _without_corner_contacts(np.pad(cells, 1))
    number, points = _lattice(rimmed)
    order, sizes = _outlines_of(rimmed, number)
    return np.split(points[order].astype(np.float64) - 1.0, np.cumsum(sizes)[:-1]) if len(sizes) else []


def _whole_cells(outer: Outlines, step: float) -> tuple[_Cells, _Numbers]:
    """Return which cells lie inside and clear of the outlines, (rows, columns), and the (column, row) of the first."""
    start, end = outer.points / step, outer.points[outer.following] / step
    first = np.floor(start.min(axis=0)).astype(np.int64) - 1
    columns, rows = (np.ceil(start.max(axis=0)).astype(np.int64) + 1 - first).tolist()
    if rows * columns > MOST_CELLS:
        raise SolidError(
            f"a face of {columns * step:.0f} by {rows * step:.0f} mm in points {step:.2g} mm apart is too much to "
            "hold; make face.fineness less"
        )
    start, end = start - first, end - first
    # Cells that an edge comes near: those of the box round it, no more than three by three since edges are short.
    low = np.floor(np.minimum(start, end) - CLEAR).astype(np.int64)
    high = np.floor(np.maximum(start, end) + CLEAR).astype(np.int64)
    near = np.zeros((rows, columns), dtype=bool)
    for across in range(int((high - low)[:, 0].max()) + 1):
        for up in range(int((high - low)[:, 1].max()) + 1):
            at = low + np.array((across, up))
            at = at[(at <= high).all(axis=1)]
            near[np.clip(at[:, 1], 0, rows - 1), np.clip(at[:, 0], 0, columns - 1)] = True
    return cells_within(start, end, (rows, columns)) & ~near, first


def cells_within(start: NDArray[np.float64], end: NDArray[np.float64], shape: tuple[int, int]) -> _Cells:
    """Return the cells, (rows, columns), whose middles lie inside of outlines.

    ``start``, ``end``: (n, 2) the ends of the outlines' edges in columns and rows, the inside on their left.
    """
    rows, columns = shape
    lower, upper = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
    # Half open, so that a middle line through a corner meets one of its two edges.
    first = np.clip(np.ceil(lower - 0.5), 0, rows).astype(np.int64)
    crossed = np.clip(np.ceil(upper - 0.5), 0, rows).astype(np.int64) - first
    edge = np.repeat(np.arange(len(start)), crossed)
    row = np.arange(len(edge)) - np.repeat(np.cumsum(crossed) - crossed - first, crossed)
    share = (row + 0.5 - start[edge, 1]) / (end[edge, 1] - start[edge, 1])
    x = start[edge, 0] + share * (end[edge, 0] - start[edge, 0])
    column = np.clip(np.ceil(x - 0.5), 0, columns).astype(np.int64)
    # Seen from the left, an edge that falls is entered and one that rises is left.
    entered = np.where(end[edge, 1] < start[edge, 1], 1, -1)
    turns = np.bincount(row * (columns + 1) + column, entered, rows * (columns + 1)).astype(np.int16)
    inside: _Cells = np.cumsum(turns.reshape(rows, columns + 1), axis=1, dtype=np.int16)[:, :columns] > 0
    return inside


def _without_corner_contacts(cells: _Cells) -> _Cells:
    """Leave cells out until no two meet in a corner alone, where an outline would touch itself."""
    cells = cells.copy()
    while True:
        sw, se, nw, ne = cells[:-1, :-1], cells[:-1, 1:], cells[1:, :-1], cells[1:, 1:]
        rising, falling = sw & ne & ~se & ~nw, se & nw & ~sw & ~ne
        if not (rising.any() or falling.any()):
            return cells
        # Views of one array: both marks were made before anything is left out.
        ne[rising] = False
        nw[falling] = False


def _lattice(cells: _Cells) -> tuple[_Numbers, _Numbers]:
    """Return numbers of the lattice points that whole cells have, (rows + 1, columns + 1), and their (column, row)."""
    used = np.zeros((cells.shape[0] + 1, cells.shape[1] + 1), dtype=bool)
    for rows in (slice(None, -1), slice(1, None)):
        for columns in (slice(None, -1), slice(1, None)):
            used[rows, columns] |= cells
    row, column = np.nonzero(used)
    number = np.full(used.shape, -1, dtype=np.int64)
    number[row, column] = np.arange(len(row))
    return number, np.column_stack((column, row))


def _squares(cells: _Cells, number: _Numbers) -> _Numbers:
    """Return two triangles for each cell; their common side rises and falls by turns, so that no direction is first."""
    row, column = np.nonzero(cells)
    sw, se = number[row, column], number[row, column + 1]
    nw, ne = number[row + 1, column], number[row + 1, column + 1]
    rising = (row + column) % 2 == 0
    one = np.where(rising, ne, nw)
    other = np.where(rising, sw, se)
    squares: _Numbers = np.stack((sw, se, one, other, ne, nw), axis=1).reshape(-1, 3)
    return squares


def _outlines_of(cells: _Cells, number: _Numbers) -> tuple[_Numbers, _Numbers]:
    """Return the numbers of the lattice points on the cells' outlines, ring after ring, and the sizes of the rings."""
    starts, ends = [], []
    for across, (from_corner, to_corner) in {
        (-1, 0): ((0, 0), (0, 1)),
        (0, 1): ((0, 1), (1, 1)),
        (1, 0): ((1, 1), (1, 0)),
        (0, -1): ((1, 0), (0, 0)),
    }.items():
        neighbour = np.roll(cells, (-across[0], -across[1]), axis=(0, 1))
        row, column = np.nonzero(cells & ~neighbour)
        starts.append(number[row + from_corner[0], column + from_corner[1]])
        ends.append(number[row + to_corner[0], column + to_corner[1]])
    start, end = np.concatenate(starts), np.concatenate(ends)
    edge_from = np.empty(int(number.max()) + 1 if len(start) else 0, dtype=np.int64)
    edge_from[start] = np.arange(len(start))
    order, sizes = follow_rings(edge_from[end])
    return start[order], sizes
