"""What belongs to all stamps of a set, under the one that is printed first: the gauge, and the proof in colour."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..stampwright.parts.gauge import Gauge
from .impression import BESIDE_STAMP, MM_PER_INCH
from .nodes import new_matte
from .parts import bring_back, new_child, remove_child, show_part, write_mesh
from .stamps import GAUGE, IN_COLOUR, part_of
from .units import mm_per_unit

if TYPE_CHECKING:
    from bpy.types import Image, Object, Scene


def show_gauge(root: Object, gauge: Gauge | None, scene: Scene) -> None:
    """Bring the gauge under a stamp to what was made, standing as its parts do; None takes it away."""
    show_part(root, GAUGE, None if gauge is None else gauge.solid, scene)
    child = part_of(root, GAUGE)
    if child is None or gauge is None:
        return
    unit = mm_per_unit(scene)
    if root.stampwright.standing == "PRINT":
        # On the bed it lies on its upper side, left of the parts.
        right = float(gauge.solid.bounds[1][0])
        child.location = ((gauge.window.bounds[0] - BESIDE_STAMP - right) / unit, 0.0, 0.0)
        child.rotation_euler = (0.0, 0.0, 0.0)
        return
    child.location = (0.0, 0.0, gauge.height / unit)
    child.rotation_euler = (0.0, math.pi, 0.0)


def show_in_colour(root: Object, picture: bytes, place: tuple[float, float, float, float], scene: Scene) -> None:
    """Lay a sheet with a set printed in register below a stamp's own; ``place``: left, bottom, right and top, mm."""
    sheet = part_of(root, IN_COLOUR)
    if not root.stampwright.paper:
        take_away_proof(root)
        return
    if sheet is None:
        sheet = new_child(root, IN_COLOUR)
        sheet.data.uv_layers.new(name="Sheet")
    bring_back(root, sheet)
    image = image_in(f"{root.name} in register", picture)
    unit = mm_per_unit(scene)
    left, bottom, right, top = (at / unit for at in place)
    corners = np.array([(left, bottom, 0.0), (right, bottom, 0.0), (right, top, 0.0), (left, top, 0.0)])
    write_mesh(sheet.data, corners, np.array([(0, 1, 2), (0, 2, 3)]))
    layer = sheet.data.uv_layers[0] if sheet.data.uv_layers else sheet.data.uv_layers.new(name="Sheet")
    layer.data.foreach_set("uv", np.array([0, 0, 1, 0, 1, 1, 0, 0, 1, 1, 0, 1], dtype=np.float32))
    if not len(sheet.data.materials):
        sheet.data.materials.append(_material(sheet.data.name, image))
    sheet.location = (0.0, (bottom - top) - BESIDE_STAMP / unit, 0.0)


def take_away_proof(root: Object) -> None:
    """Take the sheet in colour away."""
    sheet = part_of(root, IN_COLOUR)
    if sheet is not None:
        remove_child(sheet)


def image_in(title: str, picture: bytes) -> Image:
    """Return the image of a title, brought to a picture, which is packed into it as a PNG file."""
    image = bpy.data.images.get(title)
    if image is None or image.library is not None:
        image = bpy.data.images.new(title, 1, 1)
    image.pack(data=picture, data_len=len(picture))
    image.source = "FILE"
    image.buffers_free()
    image.update_tag()
    return image


def place_of(made: Any, shape: tuple[int, int], margin: float, dpi: float) -> tuple[float, float, float, float]:
    """Return where the picture of a set lies on paper: left, bottom, right and top, mm; ``shape``: rows and columns."""
    bounds = np.array([region.bounds for region in made.misregister.perfect.printed])
    pixel = MM_PER_INCH / dpi
    left, bottom = np.floor((bounds[:, :2].min(axis=0) - margin) / pixel + 1e-6) * pixel
    return float(left), float(bottom), float(left + shape[1] * pixel), float(bottom + shape[0] * pixel)


def _material(title: str, image: Image) -> Any:
    material, node = new_matte(title, "ShaderNodeTexImage")
    node.image = image
    return material
