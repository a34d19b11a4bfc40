"""What is drawn on the tour, and the shape of what comes of it."""

import hashlib
import math
from typing import Any

import bpy
import numpy as np

# An F, in mm: no reversal and no turn of it is the same again.
LETTER = [(0, 0), (6, 0), (6, 12), (14, 12), (14, 18), (6, 18), (6, 24), (18, 24), (18, 30), (0, 30)]

# A handle's profile, (radius, height) in mm over its foot.
PROFILE = [(25, 0), (25, 3), (14, 14), (11, 26), (16, 40), (19, 50), (14, 58), (0, 61)]


def draw_art() -> Any:
    """Draw the letter as a filled curve."""
    return _drawn("Letter", [LETTER], closed=True)


def draw_text(body: str) -> Any:
    """Write a line of text under the letter."""
    data = bpy.data.curves.new("Text", "FONT")
    data.body, data.size = body, 6.0
    text = bpy.data.objects.new("Text", data)
    text.location = (-8.0, -8.0, 0.0)
    bpy.context.scene.collection.objects.link(text)
    return text


def draw_profile() -> Any:
    """Draw half of a handle's outline, as seen from the front, to the left of everything."""
    profile = _drawn("Profile", [PROFILE], closed=False)
    spline = profile.data.splines[0]
    spline.type = "NURBS"
    spline.order_u, spline.use_endpoint_u = 3, True
    profile.rotation_euler.x = math.pi / 2
    profile.location.x = -60.0
    return profile


def draw_rosette() -> Any:
    """Draw many small rings, each of many points: a die that takes long."""
    angles = np.linspace(0.0, 2 * math.pi, 300, endpoint=False)
    circle = np.stack((np.cos(angles), np.sin(angles)), axis=1)
    rings = [circle * size + (3.0 * i, 3.0 * j) for i in range(14) for j in range(14) for size in (1.3, 0.7)]
    rosette = _drawn("Rosette", rings, closed=True)
    rosette.location = (0.0, -70.0, 0.0)
    return rosette


def shape_of(mesh: Any) -> str:
    """Return a fingerprint of where a mesh's vertices lie."""
    points = np.empty(3 * len(mesh.data.vertices), dtype=np.float32)
    mesh.data.vertices.foreach_get("co", points)
    return hashlib.blake2b(points.tobytes(), digest_size=12).hexdigest()


def _drawn(name: str, rings: list[Any], *, closed: bool) -> Any:
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
