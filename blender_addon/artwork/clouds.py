"""Point clouds as discs, and balls of metal as the one body that they flow together to."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import numpy as np

from ..stampwright.artwork.drawn import Dabs, Shape
from .choosing import Look
from .lines.pens import pencil_scale

if TYPE_CHECKING:
    from bpy.types import Object, Scene

CLOUD = "POINTCLOUD"
"""Type of an object, or of an instance, of points."""


def cloud_points(seen: Object) -> tuple[Any, Any]:
    """Return places, (n, 3) float, and radii, (n,) float, of a cloud's points, object's own units."""
    held: Any = seen.data
    count = len(held.points)
    places, radii = np.empty(3 * count, dtype=np.float32), np.empty(count, dtype=np.float32)
    held.points.foreach_get("co", places)
    held.points.foreach_get("radius", radii)
    return places.reshape(-1, 3).astype(np.float64), radii.astype(np.float64)


def cloud_shapes(places: Any, radii: Any, matrix: Any, look: Look) -> list[Shape]:
    """Return points as discs, taken through a matrix to mm as seen."""
    if not len(places):
        return []
    placed = places @ matrix[:2, :3].T + matrix[:2, 3]
    return [Dabs(placed, radii * pencil_scale(matrix), **look._asdict())]


def mother_of(drawn: Object, scene: Scene) -> Object:
    """Return the metaball that the host makes the body of, in which another one of its family flows along."""
    return min(family_of(drawn, scene), key=lambda each: _family(each.name)[1], default=drawn)


def family_of(drawn: Object, scene: Scene) -> list[Object]:
    """Return the metaballs of a scene that flow together with one, and itself: all of one name but for its number."""
    stem = _family(drawn.name)[0]
    return [each for each in scene.objects if each.type == "META" and _family(each.name)[0] == stem]


def _family(name: str) -> tuple[str, int]:
    parts = re.fullmatch(r"(.*?)(?:\.(\d+))?", name)
    return (parts[1], int(parts[2] or 0)) if parts else (name, 0)
