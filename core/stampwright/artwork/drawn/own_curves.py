"""Curves drawn for a base or a handle, as the points that a job holds."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import Polygon

from ...errors import JobError
from ...job.settings import MOST_POINTS, Point
from ...plane.regions import fault_of
from ..outlines.curves import Outline, Points, count_pieces, flattened

ON_AXIS = 0.01
"""Points nearer to the axis than this, mm, are meant to lie on it."""


def outline_points(outlines: Sequence[Outline], tolerance: float, *, what: str) -> tuple[Point, ...]:
    """Return the corners of one closed outline, mm, the middle of its bounds at (0, 0).

    ``what``: the curve's name, for messages. Raises :class:`JobError` when it is not one closed line that never meets
    itself, and says what to do.
    """
    line, closed = _only_course(outlines, tolerance, what)
    if not closed:
        raise JobError(f"{what} is open: close it, so that it goes all round")
    shape = Polygon(line) if len(line) >= 3 else Polygon()
    if not shape.is_valid:
        raise JobError(f"{what} is no plain outline ({fault_of(shape)}): draw it so that it never meets itself")
    if shape.area < 1.0:
        raise JobError(f"{what} encloses {shape.area:.2f} mm², which is nothing to build on: draw it larger")
    left, bottom, right, top = shape.bounds
    return _as_points(shapely.get_coordinates(shape.exterior)[:-1] - ((left + right) / 2, (bottom + top) / 2), what)


def profile_points(outlines: Sequence[Outline], tolerance: float, *, what: str) -> tuple[Point, ...]:
    """Return (radius, height) from the foot up, mm, of one open line drawn beside the axis x = 0.

    Drawn to the left of the axis or from the top down, it is taken as if drawn to the right, upwards. ``what``: the
    curve's name, for messages. Raises :class:`JobError` when it is closed or crosses the axis, and says what to do.
    """
    line, closed = _only_course(outlines, tolerance, what)
    if closed:
        raise JobError(f"{what} is closed: a profile is one open line, from the edge of the foot up to the top")
    radii, heights = line.T
    if abs(radii.min()) > abs(radii.max()):
        radii = -radii
    if radii.min() < -ON_AXIS:
        raise JobError(
            f"{what} crosses the axis by {-radii.min():.2f} mm: the axis goes through the origin of its object; "
            "keep the line on one side of it"
        )
    radii = np.where(radii < ON_AXIS, 0.0, radii)
    if heights[0] > heights[-1]:
        radii, heights = radii[::-1], heights[::-1]
    return _as_points(np.column_stack((radii, heights - heights[0])), what)


def _only_course(outlines: Sequence[Outline], tolerance: float, what: str) -> tuple[Points, bool]:
    if len(outlines) != 1:
        raise JobError(f"{what} has {len(outlines)} lines: it takes exactly one")
    lines = flattened(outlines[0], count_pieces(outlines[0], tolerance))
    if not np.isfinite(lines.points).all():
        raise JobError(f"{what} has points that are nowhere (not a number): draw it anew")
    line = lines.points
    distinct = np.append(True, np.any(line[1:] != line[:-1], axis=1))
    return line[distinct], bool(lines.closed[0])


def _as_points(points: Points, what: str) -> tuple[Point, ...]:
    if len(points) > MOST_POINTS:
        raise JobError(f"{what} has {len(points)} points once straightened; {MOST_POINTS} is the most: simplify it")
    # A tenth of a micrometre is finer than any printer, and makes the same curve the same job.
    return tuple((x, y) for x, y in np.round(points, 4).tolist())
