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
from .scenery import framing
from .scenery.framing import CameraView

if TYPE_CHECKING:
    from bpy.types import Material

    from .staging import Staged

TALL = 0.036
"""Height of the letters, as a share of the picture's shorter side: some 40 pixels at 1920 x 1080."""

AWAY, GAP = 1.6, 0.7
"""How far a leader reaches from its part, and the room between it and its name, as shares of the letters' height."""

WIDE = 0.62
"""Width of a letter at most, as a share of its height: names are in the picture, whatever language they are in."""

THIN, DOT = 0.045, 0.13
"""Radii of a leader, and of the dot at its foot, as shares of the same."""

ROUNDS = 3
"""Names are as large as the picture makes them, and the picture shows them too: so often each is brought up to the
other."""

DARK, PALE = (0.025, 0.03, 0.028, 1.0), (0.88, 0.87, 0.83, 1.0)
"""Colours of names, linear: on pale grounds and on dark ones."""


MIDDLING = 0.2
"""Linear grey over which a ground counts as pale."""


def name_parts(one: Staged, pose: Any, seen: tuple[CameraView, Any], ground: Rgba) -> Any:
    """Put a name over every part, facing the camera; return the corners that must be in the picture, (n, 3) float, m.

    Near or far, all names are as tall as each other in the picture. ``pose``: (4, 4) float, of the whole stamp on the
    stage. ``seen``: from where, and what else is in the picture, (n, 3) float, m. ``ground``: what names are seen on.
    """
    view, subject = seen
    right, up, back = view.axes.T
    shape = framing.shape_of(one.scene)
    names = [translated(name.capitalize()) for name in one.parts]
    tops = [
        _top(poses.placed(pose, one.part_points(name)), getattr(one.stamp, name).triangles, right, up)
        for name in one.parts
    ]
    corners = np.array(tops)
    for _ in range(ROUNDS):
        stands = framing.standpoint(view, shape, np.vstack([subject, corners]))[2]
        sides = [framing.short_side(view, shape, stands - top @ back) for top in tops]
        boxes = [_box(top, said, TALL * side, view) for said, top, side in zip(names, tops, sides, strict=True)]
        corners = np.vstack(boxes)
    material = _material(PALE if sum(ground[:3]) < 3 * MIDDLING else DARK)
    for said, top, side in zip(names, tops, sides, strict=True):
        _put_name(one, said, top, TALL * side, (view, material))
    return corners


def _box(top: Any, said: str, tall: float, view: CameraView) -> Any:
    """Return corners round a name over a place, (3, 3) float, m; ``tall``: height of its letters, m."""
    right, up, _ = view.axes.T
    place, side = top + up * (AWAY + GAP) * tall, right * len(said) * WIDE * tall / 2.0
    return np.array([place - side, place + side, place + up * tall])


def _put_name(one: Staged, said: str, top: Any, tall: float, how: tuple[CameraView, Material]) -> None:
    """Put a name and its leader over a place; ``tall``: height of its letters, m."""
    view, material = how
    _, up, back = view.axes.T
    foot = top + back * DOT * tall
    end = foot + up * AWAY * tall
    letters = _letters(said, tall, material)
    put = stage.put(one.scene, letters.name, letters, role="name", owner=one.root)
    put.location = end + up * GAP * tall
    put.rotation_euler = (math.radians(90.0 - view.elevation), 0.0, math.radians(view.azimuth))
    line = _leader(said, (foot, end), (THIN * tall, DOT * tall), material)
    for each in (put, stage.put(one.scene, line.name, line, role="name", owner=one.root)):
        each.visible_shadow = each.visible_diffuse = each.visible_glossy = False


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
