"""What is drawn on the tour, and the shape of what comes of it."""

import hashlib
import math
from typing import Any

import bpy
import numpy as np

# A handle's profile, (radius, height) in mm over its foot.
PROFILE = [(25, 0), (25, 3), (14, 14), (11, 26), (16, 40), (19, 50), (14, 58), (0, 61)]


def draw_art() -> Any:
    """Draw a sprout as a filled curve, mm; no reversal and no turn of it is the same again."""
    stem = [(-1.0, 0.0), (1.0, 0.0), (1.0, 17.0), (-1.0, 17.0)]
    return _drawn("Sprout", [stem, _leaf((-2.4, 8.0), (-15.0, 15.0), 3.2), _leaf((2.4, 11.0), (15.0, 23.0), 4.0)])


def draw_text(body: str) -> Any:
    """Write a line of text under the sprout."""
    data = bpy.data.curves.new("Text", "FONT")
    data.body, data.size, data.align_x = body, 14.0, "CENTER"
    text = bpy.data.objects.new("Text", data)
    text.location = (0.0, -12.0, 0.0)
    bpy.context.scene.collection.objects.link(text)
    return text


def draw_profile() -> Any:
    """Draw half of a handle's outline, as seen from the front, standing over the artwork."""
    profile = _drawn("Profile", [PROFILE], closed=False)
    spline = profile.data.splines[0]
    spline.type = "NURBS"
    spline.order_u, spline.use_endpoint_u = 3, True
    profile.rotation_euler.x = math.pi / 2
    profile.location.x = 10.0
    return profile


def draw_upright(pencil: Any, unit: float) -> None:
    """Draw the sprout with a pen into an empty Grease Pencil object, in the plane of the front view.

    ``unit``: what a millimetre of the sprout is there, in the scene's units.
    """
    pencil.name = "Sprout"
    layer = pencil.data.layers[0] if len(pencil.data.layers) else pencil.data.layers.new("Layer")
    frame = layer.frames[0] if len(layer.frames) else layer.frames.new(1)
    strokes = [
        np.array([(0.0, 0.0), (0.2, 9.0), (0.0, 17.0)]),
        _leaf((-2.4, 8.0), (-15.0, 15.0), 3.2),
        _leaf((2.4, 11.0), (15.0, 23.0), 4.0),
    ]
    frame.drawing.add_strokes([len(stroke) for stroke in strokes])
    for stroke, points in zip(frame.drawing.strokes, strokes, strict=True):
        for point, (x, y) in zip(stroke.points, points, strict=True):
            point.position, point.radius = (x * unit, 0.0, y * unit), 0.8 * unit


def draw_rosette() -> Any:
    """Draw many small rings, each of many points: a die that takes long."""
    angles = np.linspace(0.0, 2 * math.pi, 300, endpoint=False)
    circle = np.stack((np.cos(angles), np.sin(angles)), axis=1)
    rings = [circle * size + (3.0 * i, 3.0 * j) for i in range(14) for j in range(14) for size in (1.3, 0.7)]
    rosette = _drawn("Rosette", rings)
    rosette.location = (0.0, -70.0, 0.0)
    return rosette


def shape_of(mesh: Any) -> str:
    """Return a fingerprint of where a mesh's vertices lie."""
    points = np.empty(3 * len(mesh.data.vertices), dtype=np.float32)
    mesh.data.vertices.foreach_get("co", points)
    return hashlib.blake2b(points.tobytes(), digest_size=12).hexdigest()


def _leaf(foot: tuple[float, float], tip: tuple[float, float], width: float) -> Any:
    """Return a leaf from foot to tip, (41, 2) float; its middle point is the tip."""
    there = np.linspace(0.0, 1.0, 21)
    along = np.array(tip) - foot
    across = np.array((-along[1], along[0])) / np.hypot(*along)
    side = np.sin(math.pi * there)[:, None] * width * across
    middle = foot + there[:, None] * along
    return np.concatenate((middle + side, (middle - side)[-2::-1]))


def _drawn(name: str, rings: list[Any], *, closed: bool = True) -> Any:
    data = bpy.data.curves.new(name, "CURVE")
    data.dimensions = "2D"
    data.fill_mode = "BOTH" if closed else "NONE"
    for ring in rings:
        spline = data.splines.new("POLY")
        spline.points.add(len(ring) - 1)
        spline.points.foreach_set("co", np.array([(x, y, 0, 1) for x, y in ring], dtype=np.float32).ravel())
        spline.use_cyclic_u = closed
    drawn = bpy.data.objects.new(name, data)
    bpy.context.scene.collection.objects.link(drawn)
    return drawn
