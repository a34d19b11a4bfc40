"""The plane that artwork is looked at in: from above, from a side, or along the normal of what is drawn flat."""

from __future__ import annotations

from typing import Any

import numpy as np

FLAT = 0.01
"""Thickness of a drawing as a share of its size under which it is drawn flat."""

UPRIGHT = np.sin(np.radians(10))
"""Up to this part of its normal points up, flat art stands upright, and shows nothing but an edge from above."""

NEARLY_LEVEL = np.cos(np.radians(10))
"""From this part of its normal on, flat art lies level enough: seen from above it loses 1.5 % of its height at most."""

SKEWED = 1e-3
"""By how much the determinant of a turn may miss one: nothing was kept, or a file spoilt it."""

SEEN_FROM = {
    "ABOVE": np.eye(3),
    "FRONT": np.array([(1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)]),
    "RIGHT": np.array([(0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)]),
}
"""Where right, up and towards the viewer point in the world, as rows, for each side of the host's that is drawn on."""


def view_of(plane: str, points: Any, own: Any, kept: Any = ()) -> Any:
    """Return the turn from the world to paper, (3, 3) float: its rows point right, up and towards the viewer.

    ``plane``: as in a source's property. ``points``: (n, 3) float, world, what is drawn. ``own``: (3, 3) float, from
    the object's own axes to the world's. ``kept``: nine numbers, the turn of the view that was chosen, row by row.
    """
    if plane == "VIEW":
        turn = np.array(kept, dtype=np.float64).reshape(3, 3) if len(kept) == 9 else np.zeros((3, 3))
        return turn if abs(np.linalg.det(turn) - 1.0) < SKEWED else SEEN_FROM["ABOVE"]
    if plane in SEEN_FROM:
        return SEEN_FROM[plane]
    if plane == "OWN":
        normal = np.cross(own[:, 0], own[:, 1])
        size = float(np.linalg.norm(normal))
        return SEEN_FROM["ABOVE"] if size == 0.0 else _facing(normal / size, upwards=own[:, 1])
    normal = normal_of(points)
    if normal is None or (plane == "AUTO" and abs(normal[2]) > UPRIGHT):
        return SEEN_FROM["ABOVE"]
    return _facing(_to_viewer(normal))


def normal_of(points: Any) -> Any:
    """Return the normal of the plane that points, (n, 3) float, lie in, or None when they are in none, or in a line."""
    if len(points) < 3 or not np.isfinite(points).all():
        return None
    _, sizes, axes = np.linalg.svd(points - points.mean(axis=0), full_matrices=False)
    is_flat = sizes[2] <= FLAT * sizes[1] and sizes[1] > FLAT * sizes[0]
    return axes[2] if is_flat else None


def _to_viewer(normal: Any) -> Any:
    """Return a normal turned to where one looks from: above, or for what is upright the front, or else the right."""
    if abs(normal[2]) > UPRIGHT:
        return normal if normal[2] > 0 else -normal
    if abs(normal[1]) > abs(normal[0]):
        return normal if normal[1] < 0 else -normal
    return normal if normal[0] > 0 else -normal


def _facing(normal: Any, upwards: Any = None) -> Any:
    """Return the turn that looks against a normal, with what points up, or back where the plane lies level, up."""
    if upwards is None:
        upwards = (0.0, 0.0, 1.0) if abs(normal[2]) < NEARLY_LEVEL else (0.0, 1.0, 0.0)
    up = np.array(upwards, dtype=np.float64)
    up -= normal * (up @ normal)
    up /= np.linalg.norm(up)
    return np.stack((np.cross(up, normal), up, normal))
