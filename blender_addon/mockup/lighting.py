"""Light: a large soft window at the back left, a bright card at the front right, and a pale room round them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import bpy
import mathutils
import numpy as np

from . import poses, stage


@dataclass(frozen=True)
class Lamp:
    """A rectangular soft light that looks at the subject.

    ``place``: right, back and up from it, seen from the camera; ``size``: its sides; both in the subject's reach.
    ``power``: W for a subject that reaches 1 m. ``colour``: linear.
    """

    name: str
    place: tuple[float, float, float]
    size: float
    power: float
    colour: tuple[float, float, float]


LAMPS = (
    Lamp("window", (-2.9, 1.1, 3.0), 2.2, 330.0, (1.0, 0.967, 0.924)),
    Lamp("card", (3.0, -2.2, 1.9), 3.2, 130.0, (0.975, 0.99, 1.0)),
)

SHADOW = 0.0001
"""Finest detail of a shadow in EEVEE, m."""

ROOM = (0.95, 0.97, 1.0, 1.0)
"""Colour of the light that comes from all round."""

ROOM_STRENGTH = 0.32


def light(scene: Any, azimuth: float, framed: Any) -> None:
    """Light a subject, (n, 3) float, m, for a camera at an azimuth in degrees: large or small, it is lit alike."""
    low, high = framed.min(axis=0), framed.max(axis=0)
    reach = float(np.linalg.norm(high - low)) / 2.0
    target = (low + high) / 2.0 * (1.0, 1.0, 0.5)
    for lamp in LAMPS:
        place = target + poses.turned("z", azimuth)[:3, :3] @ np.array(lamp.place) * reach
        data = bpy.data.lights.new(f"{scene.name} {lamp.name}", "AREA")
        data.size = lamp.size * reach
        data.energy = lamp.power * reach**2
        data.color = lamp.colour
        # For EEVEE: soft shadows, as fine as the relief casts them; Cycles needs no telling.
        data.use_shadow_jitter, data.shadow_maximum_resolution = True, SHADOW
        hung = stage.put(scene, data.name, data)
        hung.location = place
        hung.rotation_euler = mathutils.Vector(target - place).to_track_quat("-Z", "Y").to_euler()
    background = next(node for node in scene.world.node_tree.nodes if node.type == "BACKGROUND")
    background.inputs["Color"].default_value = ROOM
    background.inputs["Strength"].default_value = ROOM_STRENGTH
