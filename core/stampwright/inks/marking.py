"""Register marks: crosses left and right of the art, printed by every die of a set, by which a miss shows at once."""

from __future__ import annotations

import shapely
from shapely.geometry import MultiPolygon, Polygon, box

from ..plane.overlays import all_joined, common, joined, without
from ..plane.regions import filled_parts

CLEAR = 1.0
"""Distance of a mark from the art, and from the edge of the base, mm."""


def register_marks(base: Polygon, art: MultiPolygon, *, size: float, line: float) -> MultiPolygon:
    """Return a cross left and right of the art, mm, paper frame; empty where the base has no room for both.

    ``size``: across a cross, ``line``: width of its lines, mm. They stand as far apart as the base allows, at the
    height where there is most room.
    """
    inner = base.buffer(-(size / 2 + CLEAR), join_style="mitre")
    free = without(inner, art.buffer(size / 2 + CLEAR, quad_segs=4))
    left, _, right, _ = art.bounds
    middle = (left + right) / 2
    marks = []
    for side in (-1.0, 1.0):
        half = filled_parts(common(free, _half(base, middle, side)))
        if half.is_empty:
            return MultiPolygon()
        outermost = half.bounds[0] if side < 0 else half.bounds[2]
        x, y = min(
            shapely.get_coordinates(half).tolist(), key=lambda at: (round(abs(at[0] - outermost), 1), abs(at[1]))
        )
        upright = box(x - line / 2, y - size / 2, x + line / 2, y + size / 2)
        marks.append(joined(upright, box(x - size / 2, y - line / 2, x + size / 2, y + line / 2)))
    return filled_parts(all_joined(marks))


def _half(base: Polygon, middle: float, side: float) -> Polygon:
    left, bottom, right, top = base.bounds
    return box(left, bottom, middle, top) if side < 0 else box(middle, bottom, right, top)
