"""Names beside the parts of a stamp that is drawn apart, each with a leader to its part."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..translations import translated
from . import poses, stage
from .materials import Rgba
from .materials.wiring import new_wiring
from .scenery import framing
from .scenery.framing import CameraView
from .scenery.places import Grouping, lay

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


@dataclass(frozen=True, eq=False)
class Label:
    """A name beside a part.

    ``said``: the name. ``foot`` and ``end``: of its leader, (3,) float, m. ``at``: where its letters have their middle,
    or where they begin, the same. ``tall``: their height, m. ``corners``: round them, (n, 3) float, m. ``aside``:
    whether it stands at the right of its part, rather than over it.
    """

    said: str
    foot: Any
    end: Any
    at: Any
    tall: float
    corners: Any
    aside: bool


def label_parts(one: Staged, way: Grouping, view: CameraView, *, aside: bool) -> list[Label]:
    """Lay the parts of a stamp as a way has them, and return a name for each, facing the camera.

    Near or far, all names are as tall as each other in the picture. ``aside``: whether they stand in a column at the
    right of the parts, rather than each over its own.
    """
    lay(way)
    right, up, back = view.axes.T
    shape, pose = framing.shape_of(one.scene), way.places[0][1]
    towards, across = (right, up) if aside else (up, right)
    held = {name: poses.placed(pose, one.part_points(name)) for name in one.parts}
    names = [translated(name.capitalize()) for name in held]
    feet = [_edge(points, getattr(one.stamp, name).triangles, across, towards) for name, points in held.items()]
    reach = max(float((points @ right).max()) for points in held.values())
    labels: list[Label] = []
    for _ in range(ROUNDS):
        corners = np.vstack([way.corners, *(label.corners for label in labels)])
        stands = framing.standpoint(view, shape, corners)[2]
        talls = [TALL * framing.short_side(view, shape, stands - foot @ back) for foot in feet]
        ends = [
            foot + towards * (AWAY * tall + (reach - foot @ right if aside else 0.0))
            for foot, tall in zip(feet, talls, strict=True)
        ]
        labels = [
            _label(said, leader, tall, view, aside=aside)
            for said, leader, tall in zip(names, zip(feet, ends, strict=True), talls, strict=True)
        ]
    return labels


def put_labels(one: Staged, labels: Sequence[Label], view: CameraView, ground: Rgba) -> None:
    """Put names on a stage; ``ground``: what they are seen on."""
    if labels:
        material = _material(PALE if sum(ground[:3]) < 3 * MIDDLING else DARK)
        for label in labels:
            _put_name(one, label, view, material)


def _label(said: str, leader: tuple[Any, Any], tall: float, view: CameraView, *, aside: bool) -> Label:
    """Return the label of a part; ``leader``: its ends, from the part on, (3,) float, m."""
    right, up, back = view.axes.T
    foot, end = leader
    towards = right if aside else up
    width = len(said) * WIDE * tall
    at = end + towards * GAP * tall
    first = at if aside else at - right * width / 2.0
    corners = np.array([first, first + right * width, first + up * tall / 2.0, first - up * tall / 2.0])
    lift = back * DOT * tall
    return Label(said, foot + lift, end + lift, at + lift, tall, corners, aside)


def _put_name(one: Staged, label: Label, view: CameraView, material: Material) -> None:
    """Put a name and its leader on a stage."""
    letters = _letters(label, material)
    put = stage.put(one.scene, letters.name, letters, role="name", owner=one.root)
    put.location = label.at
    put.rotation_euler = (math.radians(90.0 - view.elevation), 0.0, math.radians(view.azimuth))
    line = _leader(label.said, (label.foot, label.end), (THIN * label.tall, DOT * label.tall), material)
    for each in (put, stage.put(one.scene, line.name, line, role="name", owner=one.root)):
        each.visible_shadow = each.visible_diffuse = each.visible_glossy = False


def _edge(points: Any, triangles: Any, side: Any, towards: Any) -> Any:
    """Return the furthest place of a part ``towards`` one way, over its middle to another, ``side``, as it is seen.

    (3,) float: on an edge, whose ends may be far.
    """
    across = points @ side
    middle = (across.min() + across.max()) / 2.0
    starts, ends = np.vstack([triangles[:, pair] for pair in ([0, 1], [1, 2], [2, 0])]).T
    # Each edge goes the other way round in the triangle beside it: once is enough.
    over = (across[starts] <= middle) & (across[ends] > middle)
    first, last = starts[over], ends[over]
    share = (middle - across[first]) / (across[last] - across[first])
    met = points[first] + share[:, None] * (points[last] - points[first])
    return met[(met @ towards).argmax()]


def _letters(label: Label, material: Material) -> Any:
    letters: Any = bpy.data.curves.new(f"{label.said} name", "FONT")
    letters.body, letters.size = label.said, label.tall
    letters.align_x, letters.align_y = "LEFT" if label.aside else "CENTER", "CENTER"
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
