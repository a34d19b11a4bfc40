"""Names beside the parts of a stamp that is drawn apart, each with a leader to its part."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..scene.nodes import tree_of
from ..translations import translated
from . import poses, stage
from .framing import CameraView

if TYPE_CHECKING:
    from bpy.types import Material

    from .staging import Staged

TALL = 0.11
"""Height of the letters, as a share of the base's longer side."""

AWAY, GAP = 0.22, 0.04
"""How far a leader reaches from its part, and the room between it and its name, as shares of the same."""

WIDE = 0.62
"""Width of a letter at most, as a share of its height: names are in the picture, whatever language they are in."""

THIN = 0.004
"""Radius of a leader, as a share of the base's longer side."""

INK = (0.03, 0.035, 0.03, 1.0)


def name_parts(one: Staged, pose: Any, view: CameraView) -> Any:
    """Put a name right of every part, facing a view; return the corners that must be in the picture, (n, 3) float, m.

    ``pose``: (4, 4) float, of the whole stamp on the stage.
    """
    scene = one.group.users_scene[0]
    turn = math.radians(view.azimuth)
    right = np.array((math.cos(turn), math.sin(turn), 0.0))
    material, corners = _material(), []
    for name in one.parts:
        points = poses.placed(pose, one.part_points(name))
        middle, reach = points.mean(axis=0), (points @ right).max()
        edge = middle + right * (reach - middle @ right)
        end = edge + right * AWAY * one.size
        said = translated(name.capitalize())
        place = end + right * GAP * one.size
        letters = _letters(said, TALL * one.size, material)
        put = stage.put(scene, letters.name, letters, role="name", owner=one.root)
        put.location, put.rotation_euler = place, (math.radians(90.0 - view.elevation), 0.0, turn)
        line = _leader(said, (edge, end), THIN * one.size, material)
        leader = stage.put(scene, line.name, line, role="name", owner=one.root)
        put.visible_shadow = leader.visible_shadow = False
        far = place + right * len(said) * WIDE * TALL * one.size
        corners += [end, far, far + np.array((0.0, 0.0, TALL * one.size))]
    return np.array(corners)


def _letters(said: str, size: float, material: Material) -> Any:
    letters: Any = bpy.data.curves.new(f"{said} name", "FONT")
    letters.body, letters.size, letters.align_y = said, size, "CENTER"
    letters.materials.append(material)
    return letters


def _leader(said: str, ends: tuple[Any, Any], radius: float, material: Material) -> Any:
    line = bpy.data.curves.new(f"{said} leader", "CURVE")
    line.dimensions, line.bevel_depth = "3D", radius
    spline = line.splines.new("POLY")
    spline.points.add(1)
    for point, place in zip(spline.points, ends, strict=True):
        point.co = (*place, 1.0)
    line.materials.append(material)
    return line


def _material() -> Any:
    """Return the material of names: dark whatever the light."""
    material = stage.mark(bpy.data.materials.new("Stamp names"))
    tree = tree_of(material)
    shader = tree.nodes.get("Principled BSDF")
    if shader is not None:
        shader.inputs["Base Color"].default_value = INK
        shader.inputs["Roughness"].default_value = 1.0
    return material
