"""Outlines of cells on a grid, walked along their edges: nothing is cut, and nothing united."""

from __future__ import annotations

from typing import cast

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..links import Wholes, rounds
from ..rings import Points, bounded_by, parted_rings


def cells_region(matrix: NDArray[np.bool_]) -> MultiPolygon:
    """Return the region of a matrix's true cells, a unit each, the first row at the bottom; valid, perhaps empty.

    ``matrix``: (rows, columns) bool. Cells that share an edge are one part; those that meet at a corner alone are two.

    >>> region = cells_region(np.array([[True, True], [True, False]]))
    >>> region.area, len(region.geoms[0].exterior.coords)
    (3.0, 7)
    """
    rings = parted_rings(outline_cells(matrix))
    region = bounded_by(rings)
    if region is not None:
        return region
    rows, columns = np.nonzero(matrix)
    united = shapely.union_all(shapely.box(columns, rows, columns + 1, rows + 1))
    return cast(MultiPolygon, shapely.multipolygons(shapely.get_parts(united)))


def outline_cells(matrix: NDArray[np.bool_]) -> list[Points]:
    """Return the outlines of a matrix's true cells, their corners alone, ink on the left; none crosses another."""
    cells = np.pad(matrix, 1).astype(np.int8)
    # Of each side of a cell, 1 where the ink lies to the left of the way up (along x), -1 of the way back.
    along_x, along_y = np.diff(cells, axis=0), -np.diff(cells, axis=1)
    x_from, x_to, x_way = _runs(along_x[:, 1:-1])
    y_from, y_to, y_way = _runs(along_y[1:-1].T)
    if not len(x_from):
        return []
    starts = np.concatenate((x_from[:, ::-1], y_from))
    ends = np.concatenate((x_to[:, ::-1], y_to))
    # Quarter turns from the x axis.
    heading = np.concatenate((np.where(x_way > 0, 0, 2), np.where(y_way > 0, 1, 3)))
    leaving = np.full((4, *(np.array(matrix.shape) + 1)[::-1]), -1)
    leaving[heading, starts[:, 0], starts[:, 1]] = np.arange(len(starts))
    # Where two cells meet at a corner alone, turning left stays with the same cell.
    left, right = (leaving[(heading + turn) % 4, ends[:, 0], ends[:, 1]] for turn in (1, 3))
    order, lengths = rounds(np.where(left >= 0, left, right))
    return np.split(starts[order].astype(np.float64), np.cumsum(lengths)[:-1])


def _runs(sides: NDArray[np.int8]) -> tuple[Wholes, Wholes, Wholes]:
    """Return where straight runs along the rows begin and end, (n, 2) row and column each, and which way they go."""
    padded = np.pad(sides, ((0, 0), (1, 1)))
    changes = np.diff(padded, axis=1) != 0
    firsts = np.argwhere(changes & (padded[:, 1:] != 0))
    lasts = np.argwhere(changes & (padded[:, :-1] != 0))
    way = sides[firsts[:, 0], firsts[:, 1]].astype(np.int64)
    forward = (way > 0)[:, None]
    return np.where(forward, firsts, lasts), np.where(forward, lasts, firsts), way
