"""Splines of a curve as the core's outlines, their control points taken from Blender in bulk."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from ...stampwright.artwork.drawn import bezier_curve, polyline, rational_curve
from ...stampwright.artwork.outlines.curves import Outline

if TYPE_CHECKING:
    from bpy.types import Curve, Spline

EVEN = 1e-4
"""Share by which the radii of a spline's points may differ and still be one width."""


@dataclass(frozen=True, eq=False)
class Course:
    """One spline seen from above: its outline, mm, the radius of its points, its letter, and its material's slot."""

    outline: Outline
    radius: float
    letter: int = 0
    slot: int = 0

    @property
    def closed(self) -> bool:
        """Whether the spline is a loop."""
        return bool(self.outline.closed[0])


def courses_of(data: Curve, matrix: Any, tolerance: float, *, by_letter: bool = False) -> list[Course]:
    """Return the splines of a curve, taken through a matrix to mm seen from above; too short ones are left out.

    ``by_letter``: the curve was made from text, whose letters are told apart.
    """
    courses = []
    for spline in data.splines:
        points, radii, outline = _outline_of(spline, matrix, tolerance)
        if len(points) >= 2:
            letter = spline.character_index if by_letter else 0
            courses.append(Course(outline, float(radii.mean()), letter, spline.material_index))
    return courses


def has_even_radii(data: Curve) -> bool:
    """Whether every spline of a curve has one radius at all of its points."""
    for spline in data.splines:
        radii = _got(spline.bezier_points if spline.type == "BEZIER" else spline.points, "radius", 1)
        if len(radii) and np.ptp(radii) > EVEN * radii.max():
            return False
    return True


def control_points(data: Curve) -> Any:
    """Return the points of all splines of a curve, (n, 3) float, its own coordinates; handles are left out."""
    found = [
        _got(spline.bezier_points, "co", 3) if spline.type == "BEZIER" else _got(spline.points, "co", 4)[:, :3]
        for spline in data.splines
    ]
    return np.vstack([np.empty((0, 3)), *found])


def _outline_of(spline: Spline, matrix: Any, tolerance: float) -> tuple[Any, Any, Any]:
    closed = spline.use_cyclic_u
    held: Any
    if spline.type == "BEZIER":
        held = spline.bezier_points
        points, before, after = (_seen(_got(held, name, 3), matrix) for name in ("co", "handle_left", "handle_right"))
        if len(points) < 2:
            return points, None, None
        return points, _got(held, "radius", 1)[:, 0], bezier_curve(points, before, after, closed=closed)
    held = spline.points
    lifted = _got(held, "co", 4)
    points, radii = _seen(lifted[:, :3], matrix), _got(held, "radius", 1)[:, 0]
    if len(points) < 2:
        return points, None, None
    order = min(spline.order_u, len(points))
    if spline.type != "NURBS" or order < 3:
        return points, radii, polyline(points, closed=closed)
    weights = lifted[:, 3]
    clamped = spline.use_endpoint_u
    outline = rational_curve(
        points,
        weights,
        order=order,
        closed=closed,
        clamped=clamped,
        pieced=spline.use_bezier_u,
        tolerance=tolerance,
    )
    return points, radii, outline


def _got(held: Any, name: str, width: int) -> Any:
    values = np.empty(width * len(held), dtype=np.float32)
    held.foreach_get(name, values)
    return values.reshape(-1, width).astype(np.float64)


def _seen(points: Any, matrix: Any) -> Any:
    return points @ matrix[:2, :3].T + matrix[:2, 3]
