"""Hair curves as lines of their radius, as the host's newer curves are drawn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from ...stampwright.artwork.drawn import Brushed, Shape
from ..choosing import Look, look_at
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
    return brushed(_strokes(seen.data, tolerance / scale), matrix, looks[:1])


def brushed(strokes: Iterable[Stroke], matrix: Any, looks: tuple[Look, ...]) -> list[Shape]:
    """Return a line as broad as its points along each stroke, taken through a matrix to mm as seen.

    ``looks``: how what has the material of each slot is taken, and last what has none.
    """
    shapes: list[Shape] = []
    for stroke in strokes:
        placed = (stroke.course @ matrix[:3, :3].T + matrix[:3, 3])[:, :2]
        radii = stroke.radii * widened(stroke.course, placed, matrix, closed=stroke.closed)
        shapes.append(Brushed(placed, radii, closed=stroke.closed, **look_at(looks, stroke.slot)._asdict()))
    return shapes


def strokes_of_nodes(seen: Object) -> list[Stroke]:
    """Return the curves that geometry nodes make of an object that is none, also those that they only put somewhere.

    Points and radii are in the object's own units. Older hosts show such curves, and tell no more of them.
    """
    if not hasattr(seen, "evaluated_geometry"):
        return []
    # Held as long as their curves are read: these go with them.
    made = list(_with_curves(seen.evaluated_geometry(), np.eye(4)))
    sizes = [float(np.ptp(stroke.course, axis=0).max()) for held, _ in made for stroke in _strokes(held.curves, np.inf)]
    tolerance = max(max(sizes, default=0.0), 1e-6) * FINE
    found = []
    for held, matrix in made:
        scale = float(np.linalg.norm(matrix[:3, :3], 2))
        for stroke in _strokes(held.curves, tolerance / max(scale, 1e-12)):
            course = stroke.course @ matrix[:3, :3].T + matrix[:3, 3]
            radii = stroke.radii * widened(stroke.course, course[:, :2], matrix, closed=stroke.closed)
            found.append(replace(stroke, course=course, radii=radii))
    return found


def _with_curves(geometry: Any, matrix: Any) -> Iterator[tuple[Any, Any]]:
    """Yield of what nodes made, and of all instances in it, what has curves, each with its place, (4, 4) float."""
    if geometry.curves is not None:
        yield geometry, matrix
    shown, places = geometry.instance_references(), geometry.instances_pointcloud()
    if places is None or not len(places.points):
        return
    count = len(places.points)
    which, turns = np.empty(count, dtype=np.int32), np.empty(16 * count, dtype=np.float32)
    places.attributes[".reference_index"].data.foreach_get("value", which)
    places.attributes["instance_transform"].data.foreach_get("value", turns)
    for at, turn in zip(which.tolist(), turns.reshape(-1, 4, 4).astype(np.float64), strict=True):
        # Objects and collections are instances that the host tells of itself. Matrices come column by column.
        if hasattr(shown[at], "instance_references"):
            yield from _with_curves(shown[at], matrix @ turn.T)


def _strokes(held: Any, tolerance: float) -> Iterator[Stroke]:
    # Of no hair at all, as the host adds it to be combed, it holds not even where the first one begins.
    if not len(held.curves):
        return iter(())
    offsets = np.empty(len(held.curve_offset_data), dtype=np.int32)
    held.curve_offset_data.foreach_get("value", offsets)
    return strokes_of(StrokeColumns(held.attributes, offsets), tolerance)
