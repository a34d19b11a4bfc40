"""How a whole stamp may rest or hang: matrices from the frame of use, face down on paper, to the stage.

Points are (n, 3) float, all of one unit; matrices are (4, 4) float. The ground is at z = 0, the camera looks from -y.
"""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
from shapely import MultiPoint

STEEPEST_VIEW = math.radians(60)
"""A stamp that lies on its side leans by less than this; beyond, it would stand on its face or its handle."""


def moved(x: float, y: float, z: float) -> Any:
    """Return a move."""
    matrix = np.eye(4)
    matrix[:3, 3] = (x, y, z)
    return matrix


def turned(axis: str, degrees: float) -> Any:
    """Return a turn about one of the axes x, y, z, counter-clockwise seen from its tip."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    first, second = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[axis]
    matrix = np.eye(4)
    matrix[[first, first, second, second], [first, second, first, second]] = (cos, -sin, sin, cos)
    return matrix


def pointing(along: Any, up: Any) -> Any:
    """Return a turn that brings the axis, from face to handle, along one way, and what is up on paper near another."""
    along = np.asarray(along) / np.linalg.norm(along)
    side = np.cross(up, along)
    side /= np.linalg.norm(side)
    matrix = np.eye(4)
    matrix[:3, :3] = np.column_stack([side, np.cross(along, side), along])
    return matrix


def placed(matrix: Any, points: Any) -> Any:
    """Return points taken along by a matrix."""
    return points @ matrix[:3, :3].T + matrix[:3, 3]


def on_ground(matrix: Any, points: Any) -> Any:
    """Return a pose lifted or lowered until its lowest point touches the ground."""
    return moved(0.0, 0.0, -float(placed(matrix, points)[:, 2].min())) @ matrix


def face_up(points: Any) -> Any:
    """Return the pose with the face to the sky; the die's up stays the stage's."""
    return on_ground(turned("y", 180.0), points)


def lying(points: Any) -> Any:
    """Return the pose of a stamp that has been put on its side: on the base's rim and the handle, face to the camera.

    It rests where its middle lies over what it stands on; of several such places on the one that leans least.
    """
    # Up on paper becomes up on the stage, the handle points away, and the face is seen reversed, as a die is.
    onto = np.array([[-1.0, 0, 0, 0], [0, 0, 1.0, 0], [0, 1.0, 0, 0], [0, 0, 0, 1.0]])
    side = placed(onto, points)[:, 1:]
    middle = side.mean(axis=0)
    corners = np.array(MultiPoint(side).convex_hull.exterior.coords)
    best = 0.0, math.inf
    for pair in pairwise(corners):
        start, end = sorted(pair, key=lambda corner: corner[0])
        along = end - start
        angle = math.atan2(along[1], along[0])
        below = along[0] * (middle - start)[1] - along[1] * (middle - start)[0] > 0
        over = 0.0 < along @ (middle - start) < along @ along
        if below and over and abs(angle) < min(best[1], STEEPEST_VIEW):
            best = -math.degrees(angle), abs(angle)
    return on_ground(turned("x", best[0]) @ onto, points)


def held(points: Any, clear: float, tilt: float) -> Any:
    """Return the pose of a stamp in the air, ``clear`` over the ground at its lowest, tilted so that its face shows."""
    return moved(0.0, 0.0, clear) @ on_ground(turned("x", -tilt), points)
