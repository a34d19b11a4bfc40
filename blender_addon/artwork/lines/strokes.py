"""Strokes as newer hosts keep them, for Grease Pencil and for hair: curves of four kinds, their values in columns."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from ...stampwright.artwork.drawn import rational_course

CATMULL_ROM, POLY, BEZIER, NURBS = range(4)
"""Kinds of curve, as the host numbers them; without a number a curve is of the first."""

PLAIN_RADIUS = 0.01
"""Radius of a point that has none, Blender units: the host's default."""

FINEST = 64
"""Straight pieces to a piece of a curve at most."""

CLAMPED = 1
"""Bit of a curve's way of setting knots that has it begin at its first point and end at its last."""

PIECED = 2
"""Bit of the same that has it made of Bezier pieces."""

FIELDS_OF_STROKES = {
    "FLOAT_VECTOR": ("vector", 3, np.float32),
    "FLOAT": ("value", 1, np.float32),
    "FLOAT_COLOR": ("color", 4, np.float32),
    "BYTE_COLOR": ("color", 4, np.float32),
}
"""For attributes of a kind: where a value is held, how many numbers it has, and as what; others are whole numbers."""


@dataclass(frozen=True, eq=False)
class Stroke:
    """One stroke: its places, (n, 3) float, and radii, (n,) float, object's own units; its number among all.

    ``slot``: of its material. ``opacity``: (n,) float, and ``painted``: (n, 4) float, the colour painted on each point.
    """

    number: int
    course: Any
    radii: Any
    closed: bool
    slot: int
    opacity: Any
    painted: Any


class StrokeColumns:
    """The attributes of curves, read in bulk."""

    def __init__(self, attributes: Any, offsets: Any) -> None:
        self._attributes = attributes
        self.offsets = offsets

    @property
    def curves(self) -> int:
        """How many curves there are."""
        return max(len(self.offsets) - 1, 0)

    @property
    def points(self) -> int:
        """How many points all curves have."""
        return int(self.offsets[-1]) if len(self.offsets) else 0

    def of_points(self, name: str, missing: float) -> Any:
        """Return an attribute of the points, (n, width) float; for what is missing a column of that."""
        return self._values(name, missing, self.points)

    def of_curves(self, name: str, missing: float) -> Any:
        """Return an attribute of the curves, (n,) float; for what is missing that."""
        return self._values(name, missing, self.curves)[:, 0]

    def colours(self, name: str, *, on_points: bool) -> Any:
        """Return the colours that are painted on points or curves, (n, 4) float; 0 for none."""
        count = self.points if on_points else self.curves
        values = self._values(name, 0.0, count)
        return values if values.shape[1] == 4 else np.zeros((count, 4))

    def _values(self, name: str, missing: float, count: int) -> Any:
        held = self._attributes.get(name)
        if held is None or not count or len(held.data) != count:
            return np.full((count, 1), missing)
        field, width, kind = FIELDS_OF_STROKES.get(held.data_type, ("value", 1, np.int32))
        values = np.empty(width * count, dtype=np.bool_ if held.data_type == "BOOLEAN" else kind)
        held.data.foreach_get(field, values)
        return values.reshape(count, width).astype(np.float64)


def strokes_of(columns: StrokeColumns, tolerance: float) -> Iterator[Stroke]:
    """Yield the strokes of curves; ``tolerance``: how far a straight piece may stray from its curve, own units."""
    if not columns.points:
        return
    opacity, painted = columns.of_points("opacity", 1.0), columns.colours("vertex_color", on_points=True)
    radii = columns.of_points("radius", PLAIN_RADIUS)
    lifted = np.hstack((columns.of_points("position", 0.0), radii, opacity, painted))
    before, after = (columns.of_points(name, 0.0) for name in ("handle_left", "handle_right"))
    kinds = columns.of_curves("curve_type", CATMULL_ROM).astype(int)
    closed = columns.of_curves("cyclic", 0) > 0
    slots = columns.of_curves("material_index", 0).astype(int)
    orders, knots = columns.of_curves("nurbs_order", 4), columns.of_curves("knots_mode", 0)
    weights = columns.of_points("nurbs_weight", 1.0)[:, 0]
    for number, (start, end) in enumerate(zip(columns.offsets[:-1], columns.offsets[1:], strict=True)):
        points, is_closed = lifted[start:end], bool(closed[number])
        if len(points) == 0:
            continue
        kind = kinds[number] if len(points) > 1 else POLY
        if kind == CATMULL_ROM:
            points = _along(*_catmull_rom(points, closed=is_closed), tolerance, closed=is_closed)
        elif kind == BEZIER and before.shape[1] == after.shape[1] == 3:
            controls = _bezier(points, before[start:end], after[start:end], closed=is_closed)
            points = _along(*controls, tolerance, closed=is_closed)
        elif kind == NURBS:
            points = rational_course(
                points,
                weights[start:end],
                order=max(2, min(int(orders[number]), len(points))),
                closed=is_closed,
                clamped=bool(int(knots[number]) & CLAMPED),
                pieced=bool(int(knots[number]) & PIECED),
                tolerance=tolerance,
            )
        course, (radius, covers), colours = points[:, :3], points[:, 3:5].T, points[:, 5:]
        yield Stroke(number, course, radius, is_closed, int(slots[number]), covers, colours)


def _catmull_rom(points: Any, *, closed: bool) -> tuple[Any, Any, Any, Any]:
    """Return a curve through points as cubic pieces; at its ends it goes on as if they stood there twice.

    Source: Catmull and Rom 1974; in cubic form the controls lie a sixth of the chord of the neighbours off.
    """
    before, after = (points[-1:], points[:2]) if closed else (points[:1], points[-1:])
    around = np.vstack((before, points, after))
    first, second = around[1:-2], around[2:-1]
    return first, first + (second - around[:-3]) / 6, second - (around[3:] - first) / 6, second


def _bezier(points: Any, before: Any, after: Any, *, closed: bool) -> tuple[Any, Any, Any, Any]:
    """Return the cubic pieces between points with handles; radii change evenly along each."""
    first = points if closed else points[:-1]
    second = np.roll(points, -1, axis=0) if closed else points[1:]
    rise = (second[:, 3:] - first[:, 3:]) / 3
    leaving = np.hstack((after[: len(first)], first[:, 3:] + rise))
    arriving = np.roll(before, -1, axis=0)[: len(first)]
    return first, leaving, np.hstack((arriving, second[:, 3:] - rise)), second


def _along(first: Any, leaving: Any, arriving: Any, second: Any, tolerance: float, *, closed: bool) -> Any:
    """Return points along cubic pieces, (m, k) float, by Wang's bound for the chords (1984)."""
    bends = np.maximum(
        np.linalg.norm((first - 2 * leaving + arriving)[:, :3], axis=1),
        np.linalg.norm((leaving - 2 * arriving + second)[:, :3], axis=1),
    )
    pieces = int(np.clip(np.ceil(np.sqrt(0.75 * float(bends.max()) / tolerance)), 1, FINEST))
    t = (np.arange(pieces) / pieces)[None, :, None]
    first, leaving, arriving, second = (each[:, None, :] for each in (first, leaving, arriving, second))
    course = (1 - t) ** 3 * first + 3 * t * (1 - t) ** 2 * leaving + 3 * t**2 * (1 - t) * arriving + t**3 * second
    course = course.reshape(-1, course.shape[2])
    return course if closed else np.vstack((course, second[-1]))
