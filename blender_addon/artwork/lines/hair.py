"""Hair curves as lines of their radius, as the host's newer curves are drawn."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from ...stampwright.artwork.drawn import Brushed, Shape
from ..choosing import Look
from .pens import widened
from .strokes import Stroke, StrokeColumns, strokes_of

if TYPE_CHECKING:
    from bpy.types import Object

FINE = 4e-5
"""How far a straight piece may stray from a curve that nodes make, as a share of its size."""

TYPE = "CURVES"
"""Type of an object with hair curves."""


def hair_points(seen: Object) -> Any:
    """Return the points of all hair curves, (n, 3) float, object's own."""
    found = [stroke.course for stroke in _strokes(seen.data, np.inf)]
    return np.vstack(found) if found else np.empty((0, 3))


def hair_shapes(seen: Object, matrix: Any, tolerance: float, looks: tuple[Look, ...]) -> list[Shape]:
    """Return a line as broad as its points along each hair, taken through a matrix to mm as seen.

    ``tolerance``: how far a straight piece may stray from its curve, mm. ``looks``: how what each slot's
    material draws is taken; all hair of an object has its first.
    """
    scale = max(float(np.linalg.norm(matrix[:3, :3], 2)), 1e-12)
    shapes: list[Shape] = []
    for stroke in _strokes(seen.data, tolerance / scale):
        placed = (stroke.course @ matrix[:3, :3].T + matrix[:3, 3])[:, :2]
        radii = stroke.radii * widened(stroke.course, placed, matrix, closed=stroke.closed)
        shapes.append(Brushed(placed, radii, closed=stroke.closed, **looks[0]._asdict()))
    return shapes


def courses_of_nodes(seen: Object) -> list[tuple[Any, bool]]:
    """Return the curves that geometry nodes make of an object that is none, each its points and whether it is closed.

    Points are (n, 3) float, the object's own units. Older hosts show such curves, and tell no more of them.
    """
    if not hasattr(seen, "evaluated_geometry"):
        return []
    # Held as long as its curves are read: they go with it.
    geometry: Any = seen.evaluated_geometry()
    made = geometry.curves
    if made is None:
        return []
    size = max((float(np.ptp(stroke.course, axis=0).max()) for stroke in _strokes(made, np.inf)), default=0.0)
    return [(stroke.course, stroke.closed) for stroke in _strokes(made, max(size, 1e-6) * FINE)]


def _strokes(held: Any, tolerance: float) -> Iterator[Stroke]:
    # Of no hair at all, as the host adds it to be combed, it holds not even where the first one begins.
    if not len(held.curves):
        return iter(())
    offsets = np.empty(len(held.curve_offset_data), dtype=np.int32)
    held.curve_offset_data.foreach_get("value", offsets)
    return strokes_of(StrokeColumns(held.attributes, offsets), tolerance)
