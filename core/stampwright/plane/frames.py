"""The two frames of a stamp, the only reversal in the project, and the grid on which outlines lie.

Paper frame: x right, y up, as the impression reads. Die frame: z up, face up; its x is the paper frame's x reversed.
"""

from __future__ import annotations

from typing import Any, TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from .grid import GRID

Placed = TypeVar("Placed", BaseGeometry, NDArray[np.float64])

Region = TypeVar("Region", bound=BaseGeometry)


def on_grid(region: Region) -> Region:
    """Return a region, mm, with its corners on the grid; what that makes touch or cross is made valid again.

    A placed outline is then, corner by corner, the one that a mesh file holds.

    >>> on_grid(shapely.Point(0.1, 0)).x == round(0.1 / GRID) * GRID
    True
    """
    gridded: Any = shapely.transform(region, lambda points: np.rint(points / GRID) * GRID + 0.0)
    if shapely.is_valid(gridded):
        # Corners closer than the grid have come to one place; one of them is enough.
        gridded = shapely.remove_repeated_points(gridded)
    else:
        gridded = shapely.set_precision(region, GRID)
        if region.geom_type == "MultiPolygon" and gridded.geom_type == "Polygon":
            gridded = shapely.multipolygons([gridded])
    placed: Region = gridded
    return placed


def paper_to_die(placed: Placed) -> Placed:
    """Take geometry from the paper frame to the die frame.

    ``placed`` is a shapely geometry or an ``(n, 2)`` or ``(n, 3)`` float array, mm. A new object of the same kind comes
    back. Outlines come back with their turning sense reversed; the caller reverses the corner order of triangles.

    >>> paper_to_die(np.array([[1.0, 2.0]])).tolist()
    [[-1.0, 2.0]]
    """
    reversed_once: Placed = _reverse_x(placed)
    return reversed_once


def die_to_paper(placed: Placed) -> Placed:
    """Take geometry from the die frame to the paper frame; the inverse of :func:`paper_to_die`.

    >>> die_to_paper(paper_to_die(np.array([[1.0, 2.0, 3.0]]))).tolist()
    [[1.0, 2.0, 3.0]]
    """
    reversed_once: Placed = _reverse_x(placed)
    return reversed_once


def _reverse_x(placed: Any) -> Any:
    if isinstance(placed, BaseGeometry):
        return affinity.affine_transform(placed, (-1.0, 0.0, 0.0, 1.0, 0.0, 0.0))
    reversed_points = np.array(placed, dtype=np.float64)
    # 0 - x rather than -x: no negative zeros, which would differ from zeros byte by byte in a file.
    reversed_points[..., 0] = 0.0 - reversed_points[..., 0]
    return reversed_points
