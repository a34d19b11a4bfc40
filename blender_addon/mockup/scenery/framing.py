"""The camera: as near as it can be with everything in the picture, and in focus on the subject."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import mathutils
import numpy as np
from bpy_extras.object_utils import world_to_camera_view

if TYPE_CHECKING:
    from bpy.types import Object, Scene

SENSOR = 36.0
"""Width of the camera's sensor, mm: the still format that lenses are named for (common practice)."""

ASPECT = "stampwright_aspect"
"""Custom property of a picture's scene: width over height that it was framed for."""

SHARP = 1.0 / 1300.0
"""Blur that still passes for sharp, as a share of the picture's width (common practice: one to 1500th or so)."""


@dataclass(frozen=True)
class CameraView:
    """Where a picture is taken from.

    ``azimuth``: degrees to the right of the front; ``elevation``: degrees over the ground. ``lens``: focal length,
    mm. ``room``: bare margin round the subject as a share of the picture. ``depth``: how much more than the subject
    itself may be sharp; 1 is just it.
    """

    azimuth: float = 0.0
    elevation: float = 30.0
    lens: float = 85.0
    room: float = 0.06
    depth: float = 1.0

    @property
    def axes(self) -> Any:
        """The camera's axes, right, up and back, as columns, (3, 3) float."""
        azimuth, elevation = math.radians(self.azimuth), math.radians(self.elevation)
        right = np.array([math.cos(azimuth), math.sin(azimuth), 0.0])
        level = np.array([math.sin(azimuth), -math.cos(azimuth), 0.0])
        back = math.cos(elevation) * level + math.sin(elevation) * np.array([0.0, 0.0, 1.0])
        return np.column_stack([right, np.cross(back, right), back])


ABOVE = CameraView(elevation=90.0, lens=70.0, depth=3.0)
"""Straight from above, as a flat lay is taken."""


def frame(scene: Any, camera: Object, view: CameraView, framed: Any, subject: Any) -> None:
    """Place and focus a camera.

    ``framed``: (n, 3) float, what must be in the picture, Blender units. ``subject``: what must be sharp.
    """
    axes = view.axes
    scene[ASPECT] = shape_of(scene)
    keep_framed(scene)
    place = standpoint(view, scene[ASPECT], framed)
    matrix = np.eye(4)
    matrix[:3, :3], matrix[:3, 3] = axes, axes @ place
    camera.matrix_world = mathutils.Matrix(matrix.tolist())
    lens = camera.data
    lens.lens = view.lens
    distances = place[2] - (subject @ axes)[:, 2]
    _focus(lens, float(distances.min()), float(distances.max()), view)
    lens.clip_start, lens.clip_end = place[2] * 0.01, place[2] * 100.0


def shape_of(scene: Any) -> float:
    """Return width over height of a scene's picture."""
    return float(scene.render.resolution_x / scene.render.resolution_y)


def standpoint(view: CameraView, shape: float, framed: Any) -> Any:
    """Return the nearest place from which a camera sees all points, (3,) float: along its own right, up and back.

    ``shape``: width over height of the picture; ``framed``: (n, 3) float.
    """
    seen = framed @ view.axes
    across = SENSOR / (2.0 * view.lens) * (1.0 - 2.0 * view.room)
    x, back = _nearest(seen[:, 0], seen[:, 2], across)
    y, back_too = _nearest(seen[:, 1], seen[:, 2], across / shape)
    return np.array([x, y, max(back, back_too)])


def short_side(view: CameraView, shape: float, far: float) -> float:
    """Return the shorter side of what a picture of this shape shows so far from the camera, in the same unit."""
    return SENSOR / view.lens * min(1.0, 1.0 / shape) * far


def keep_framed(scene: Any) -> None:
    """Let a picture show all that it was framed for, also when it has been made wider or narrower since."""
    lens, render, framed = scene.camera.data, scene.render, scene[ASPECT]
    lens.sensor_width, lens.sensor_height = SENSOR, SENSOR / framed
    lens.sensor_fit = "VERTICAL" if render.resolution_x / render.resolution_y > framed else "HORIZONTAL"


def projected(scene: Scene, camera: Object, points: Any) -> Any:
    """Return where points come in the picture, (n, 2) float: 0 to 1 from left to right and from bottom to top."""
    return np.array([world_to_camera_view(scene, camera, mathutils.Vector(point))[:2] for point in points])


def _nearest(side: Any, back: Any, slope: float) -> tuple[float, float]:
    """Return where along one side, and how far back, a camera just sees all points between rays of this slope."""
    low, high = float((side - slope * back).min()), float((side + slope * back).max())
    return (low + high) / 2.0, (high - low) / (2.0 * slope)


def _focus(lens: Any, near: float, far: float, view: CameraView) -> None:
    """Focus so that near and far are equally sharp, with the widest opening that keeps them so."""
    lens.dof.use_dof = True
    distance = 2.0 * near * far / (near + far)
    lens.dof.focus_distance = distance
    spread = max((far - near) / (far + near), 0.01) * view.depth
    # Blur on the sensor, thin lens: opening x focal length / (distance - focal length) x |1 - distance / place|.
    focal = view.lens / 1000.0
    opening = SHARP * SENSOR / 1000.0 * (distance - focal) / (focal * spread)
    lens.dof.aperture_fstop = focal / opening
