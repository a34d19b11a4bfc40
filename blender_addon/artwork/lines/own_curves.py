"""Curves that the user drew for the base or the handle, as the points that the job holds."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from ...scene.stamps import is_deleted
from ...stampwright.artwork.drawn import outline_points, profile_points
from ..reading import world_in_mm
from .splines import courses_of

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object

TOLERANCE = 0.005
"""How far a straight piece may stray from its curve, mm."""


def own_points(held: Any, depsgraph: Depsgraph) -> dict[str, Any]:
    """Return the settings of the job that a stamp's picked curves set, by path.

    Raises :class:`JobError` when a curve does not fit its purpose; the message says what to do.
    """
    points: dict[str, Any] = {}
    if held.base.outline == "custom" and _is_there(held.base_curve):
        points["base.points"] = _outline(held.base_curve, depsgraph)
    if held.handle.form == "turned" and _is_there(held.profile_curve):
        points["handle.profile"] = _profile(held.profile_curve, depsgraph)
    if held.handle.form == "straight" and _is_there(held.outline_curve):
        points["handle.outline"] = _outline(held.outline_curve, depsgraph)
    return points


def _is_there(drawn: Object | None) -> bool:
    return drawn is not None and not is_deleted(drawn)


def _outline(drawn: Object, depsgraph: Depsgraph) -> Any:
    seen = drawn.evaluated_get(depsgraph)
    courses = courses_of(seen.data, world_in_mm(seen, depsgraph), TOLERANCE)
    return outline_points([course.outline for course in courses], TOLERANCE, what=drawn.name)


def _profile(drawn: Object, depsgraph: Depsgraph) -> Any:
    """Return the profile drawn flat, across and up its object's x and y, or standing, across x and up z."""
    seen = drawn.evaluated_get(depsgraph)
    placed = world_in_mm(seen, depsgraph)
    sizes = np.linalg.norm(placed[:3, :3], axis=0)
    deep, high = (np.ptp([corner[axis] for corner in seen.bound_box]) * sizes[axis] for axis in (1, 2))
    side_on = np.zeros((4, 4))
    side_on[0, 0] = sizes[0]
    upright = 2 if high > deep else 1
    side_on[1, upright] = sizes[upright]
    courses = courses_of(seen.data, side_on, TOLERANCE)
    return profile_points([course.outline for course in courses], TOLERANCE, what=drawn.name)
