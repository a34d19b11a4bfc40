"""Names beside the parts of a stamp that is drawn apart, each with a leader to its part."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..translations import translated
from . import poses, stage
from .materials import Rgba
from .materials.wiring import new_wiring
from .scenery.framing import CameraView

if TYPE_CHECKING:
    from bpy.types import Material

    from .staging import Staged

TALL = 0.11
"""Height of the letters, as a share of the base's longer side."""

AWAY, GAP = 0.2, 0.07
"""How far a leader reaches from its part, and the room between it and its name, as shares of the same."""

WIDE = 0.62
"""Width of a letter at most, as a share of its height: names are in the picture, whatever language they are in."""

THIN, DOT = 0.005, 0.014
"""Radii of a leader, and of the dot at its foot, as shares of the base's longer side."""

DARK, PALE = (0.025, 0.03, 0.028, 1.0), (0.88, 0.87, 0.83, 1.0)
"""Colours of names, linear: on pale grounds and on dark ones."""


MIDDLING = 0.2
"""Linear grey over which a ground counts as pale."""


def name_parts(one: Staged, pose: Any, view: CameraView, ground: Rgba) -> Any:
    """Put a name over every part, facing a view; return the corners that must be in the picture, (n, 3) float, m.

    ``pose``: (4, 4) float, of the whole stamp on the stage. ``ground``: what the names are seen on.
    """
    scene = one.group.users_scene[0]
    right, up, back = view.axes.T
    turn = (math.radians(90.0 - view.elevation), 0.0, math.radians(view.azimuth))
    material, corners = _material(PALE if sum(ground[:3]) < 3 * MIDDLING else DARK), []
    for name in one.parts:
        points = poses.placed(pose, one.part_points(name))
        foot = _top(points, getattr(one.stamp, name).triangles, right, up) + back * DOT * one.size
        end = foot + up * AWAY * one.size
        said = translated(name.capitalize())
        place = end + up * GAP * one.size
        letters = _letters(said, TALL * one.size, material)
        put = stage.put(scene, letters.name, letters, role="name", owner=one.root)
        put.location, put.rotation_euler = place, turn
        line = _leader(said, (foot, end), (THIN * one.size, DOT * one.size), material)
        leader = stage.put(scene, line.name, line, role="name", owner=one.root)
        for each in (put, leader):
            each.visible_shadow = each.visible_diffuse = each.visible_glossy = False
        side = right * len(said) * WIDE * TALL * one.size / 2.0
        corners += [place - side, place + side, place + up * TALL * one.size]
    return np.array(corners)


def _top(points: Any, triangles: Any, right: Any, up: Any) -> Any:
    """Return where a part is highest over its middle, as it is seen, (3,) float: on an edge, whose ends may be far."""
    across = points @ right
    middle = (across.min() + across.max()) / 2.0
    starts, ends = np.vstack([triangles[:, pair] for pair in ([0, 1], [1, 2], [2, 0])]).T
    # Each edge goes the other way round in the triangle beside it: once is enough.
    over = (across[starts] <= middle) & (across[ends] > middle)
    first, last = starts[over], ends[over]
    share = (middle - across[first]) / (across[last] - across[first])
    met = points[first] + share[:, None] * (points[last] - points[first])
    return met[(met @ up).argmax()]


def _letters(said: str, size: float, material: Material) -> Any:
    letters: Any = bpy.data.curves.new(f"{said} name", "FONT")
    letters.body, letters.size, letters.align_x, letters.align_y = said, size, "CENTER", "CENTER"
    letters.materials.append(material)
    return letters


def _leader(said: str, ends: tuple[Any, Any], radii: tuple[float, float], material: Material) -> Any:
    """Return a line from a dot to an end; ``radii``: of the line and of the dot, m."""
    thin, dot = radii
    line = bpy.data.curves.new(f"{said} leader", "CURVE")
    line.dimensions, line.bevel_depth, line.use_fill_caps = "3D", thin, True
    foot, end = (np.array(each) for each in ends)
    over = foot + (end - foot) * dot / np.linalg.norm(end - foot)
    spline = line.splines.new("POLY")
    places = [(foot - (over - foot), 0.01), (foot - (over - foot) * 0.7, dot * 0.7 / thin), (foot, dot / thin)]
    places += [(foot + (over - foot) * 0.7, dot * 0.7 / thin), (over, 1.0), (end, 1.0)]
    spline.points.add(len(places) - 1)
    for point, (place, radius) in zip(spline.points, places, strict=True):
        point.co, point.radius = (*place, 1.0), radius
    line.materials.append(material)
    return line


def _material(colour: Rgba) -> Any:
    """Return the material of names: of one brightness, whatever the light."""
    material = stage.mark(bpy.data.materials.new("Stamp names"))
    wiring, output = new_wiring(material)
    glow = wiring.add("Emission", Color=colour)
    wiring.put(output.inputs["Surface"], glow.outputs[0])
    return material
