"""The key of a backing: a tab on its right side, by which it goes into a corner gauge in one way only, and a lip.

The lip goes all round at the side of the handle. It comes to rest on the gauge just after the face has touched, and so
keeps the stamp level, wherever on its base an ink has its face.
"""

from __future__ import annotations

import shapely
from shapely.geometry import LineString, Polygon

from ..plane.overlays import common, joined

WIDE, DEEP = 8.0, 3.0
"""Of the tab, mm: broad enough to hold the stamp's turn, short enough to stay out of the hand's way."""


LIP, LIP_HEIGHT = 3.0, 1.6
"""How far the lip stands out over the keyed plate, and how thick it is, mm; printed first, it needs no support."""


def lip_of(plate: Polygon) -> Polygon:
    """Return the outline of the lip round a keyed plate, paper frame, mm."""
    return Polygon(plate.buffer(LIP, join_style="mitre", mitre_limit=2.0).exterior)


def with_key(outline: Polygon) -> Polygon:
    """Return a backing's outline, paper frame, mm, with its tab on the right, at the height of its middle.

    A tab on one side only: turned by any other than a whole turn, the outline does not fit itself.
    """
    left, bottom, _, top = (float(value) for value in outline.bounds)
    height = min(max(outline.centroid.y, bottom), top)
    half = min(WIDE, 0.6 * (top - bottom)) / 2
    band = common(outline, shapely.box(left, height - half, outline.bounds[2], height + half))
    side = band.bounds[2]
    # It begins well inside, so that on a slanting side no gap is left beneath it.
    start = _inner(outline, height, half)
    keyed = joined(outline, shapely.box(start, height - half, side + DEEP, height + half))
    return Polygon(keyed.exterior)


def _inner(outline: Polygon, height: float, half: float) -> float:
    """Return an x from which on the tab's whole width lies inside the outline, or its middle."""
    left, _, right, _ = (float(value) for value in outline.bounds)
    reach: list[float] = []
    for y in (height - half, height, height + half):
        cut = shapely.get_coordinates(common(LineString([(left - 1, y), (right + 1, y)]), outline))
        reach.append(float(cut[:, 0].max()) if len(cut) else (left + right) / 2)
    return min(reach) - min(1.0, (right - left) / 4)
