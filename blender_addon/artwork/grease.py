"""Grease Pencil strokes with their radius, and their fills, as the core's shapes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from ..stampwright.artwork.drawn import Brushed, Filled, Shape, polyline

if TYPE_CHECKING:
    from bpy.types import Object

LEGACY = "GPENCIL"
"""Type of an object with the strokes that hosts before 4.3 have."""

LEGACY_PIXEL = 0.0005
"""Radius of one pixel of line width in the older strokes, Blender units: 1000 pixels of width to a unit."""


def read_strokes(seen: Object, matrix: Any) -> list[Shape]:
    """Return what an object's strokes draw in the current frame, mm seen from above; hidden layers are left out.

    ``matrix``: from the object's own coordinates to the world's, mm.
    """
    stretch = abs(float(np.linalg.det(matrix[:2, :2]))) ** 0.5
    layers = [layer for layer in seen.data.layers if not _is_hidden(layer)]
    if str(seen.type) == LEGACY:
        # The host has taken evaluated points through the matrices of their layers already.
        return [shape for layer in layers for shape in _legacy_strokes(seen, layer, matrix, stretch)]
    return [shape for layer in layers for shape in _strokes(seen, layer, _of_layer(seen, layer, matrix), stretch)]


def _strokes(seen: Object, layer: Any, matrix: Any, stretch: float) -> Iterator[Shape]:
    frame = layer.current_frame()
    if frame is None:
        return
    drawing = frame.drawing
    attributes = drawing.attributes
    if "position" not in attributes or not len(drawing.curve_offsets):
        return
    points = _values(attributes, "position", "vector", 3)
    radii = _values(attributes, "radius", "value", 1, missing=0.01, count=len(points))[:, 0] + layer.radius_offset
    curves = len(drawing.curve_offsets) - 1
    closed = _values(attributes, "cyclic", "value", 1, missing=0, count=curves)[:, 0] > 0
    materials = _values(attributes, "material_index", "value", 1, missing=0, count=curves)[:, 0].astype(int)
    offsets = np.empty(curves + 1, dtype=np.int32)
    drawing.curve_offsets.foreach_get("value", offsets)
    placed = points @ matrix[:2, :3].T + matrix[:2, 3]
    for start, end, is_closed, material in zip(offsets[:-1], offsets[1:], closed, materials, strict=True):
        yield from _drawn(placed[start:end], radii[start:end] * stretch, is_closed, _style(seen, material))


def _legacy_strokes(seen: Object, layer: Any, matrix: Any, stretch: float) -> Iterator[Shape]:
    if layer.active_frame is None:
        return
    pixel = LEGACY_PIXEL * seen.data.pixel_factor * stretch
    for stroke in layer.active_frame.strokes:
        count = len(stroke.points)
        points, pressure = np.empty(3 * count, dtype=np.float32), np.empty(count, dtype=np.float32)
        stroke.points.foreach_get("co", points)
        stroke.points.foreach_get("pressure", pressure)
        placed = points.reshape(-1, 3).astype(np.float64) @ matrix[:2, :3].T + matrix[:2, 3]
        radii = pressure.astype(np.float64) * (stroke.line_width + layer.line_change) * pixel
        yield from _drawn(placed, radii, stroke.use_cyclic, _style(seen, stroke.material_index))


def _drawn(course: Any, radii: Any, closed: bool, style: Any) -> Iterator[Shape]:
    """Yield a stroke's line and its fill, as its material shows them."""
    if (style is None or style.show_stroke) and len(course):
        yield Brushed(course, radii, closed=bool(closed))
    if style is not None and style.show_fill and len(course) >= 3:
        yield Filled(polyline(course, closed=True))


def _style(seen: Object, index: int) -> Any:
    slots = seen.material_slots
    material = slots[index].material if 0 <= index < len(slots) else None
    return material.grease_pencil if material is not None else None


def _is_hidden(layer: Any) -> bool:
    """Whether a layer, or a group that it is in, is hidden; the older strokes know no groups."""
    held = layer
    while held is not None:
        if held.hide:
            return True
        held = getattr(held, "parent_group", None)
    return False


def _of_layer(seen: Object, layer: Any, matrix: Any) -> Any:
    """Return the matrix from a layer's own coordinates to the world's, mm; a layer may hang on another object."""
    local = np.array(layer.matrix_local, dtype=np.float64)
    if layer.parent is None:
        return matrix @ local
    hung = layer.parent.matrix_world @ layer.matrix_parent_inverse
    return matrix @ np.linalg.inv(np.array(seen.matrix_world)) @ np.array(hung, dtype=np.float64) @ local


def _values(attributes: Any, name: str, field: str, width: int, *, missing: float = 0.0, count: int = 0) -> Any:
    if name not in attributes:
        return np.full((count, width), missing)
    held = attributes[name].data
    values: Any = np.empty(
        width * len(held), dtype={"cyclic": np.bool_, "material_index": np.int32}.get(name, np.float32)
    )
    held.foreach_get(field, values)
    return values.reshape(-1, width).astype(np.float64)
