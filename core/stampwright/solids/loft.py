"""Solids from a skin drawn over sections of equal point count."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LinearRing, Polygon

from ..errors import SolidError
from ..plane.circles import chords_in
from .kernel import settle, triangulate
from .lathe import CHORD_TOLERANCE
from .prism import extrude
from .solid import Solid
from .soundness import judge_merged


def loft(
    rings: NDArray[np.float64],
    heights: NDArray[np.float64],
    *,
    name: str,
    centre: tuple[float, float] = (0.0, 0.0),
) -> Solid:
    """Draw a skin over rings and close foot and top.

    ``rings``: (k, n, 2) float, mm, each counter-clockwise and without a crossing; corner i of each belongs to corner i
    of the next. A ring whose points are all the same is a tip. ``heights``: (k,) float, mm, one for each ring.
    ``centre``: where foot and top are closed to, if they can be seen whole from there. Raises :class:`SolidError` when
    there are under two rings, a ring crosses itself, or the skin is unsound.
    """
    if rings.ndim != 3 or len(rings) < 2 or rings.shape[1] < 3 or len(heights) != len(rings):
        raise SolidError(f"{name}: a skin needs two rings or more, of three points or more, and a height for each")
    if not np.isfinite(rings).all() or not np.isfinite(heights).all():
        raise SolidError(f"{name}: a section has a point that is no finite number")
    _check_uncrossed(rings, heights, name)
    levels, count = rings.shape[:2]
    points = np.empty((levels * count + 2, 3))
    points[:-2, :2] = rings.reshape(-1, 2)
    points[:-2, 2] = np.repeat(heights, count)
    points[-2:] = [(*centre, heights[0]), (*centre, heights[-1])]
    foot, top = _lid(rings[0], levels * count, centre), _lid(rings[-1], levels * count + 1, centre)
    top = np.where(top < count, top + (levels - 1) * count, top)
    solid = settle(name, points, np.concatenate((_walls(levels, count), foot[:, ::-1], top)))
    verdict = judge_merged(solid.vertices, solid.triangles)
    if not verdict.sound:
        raise SolidError(f"{name}: its sections do not make a sound solid: {verdict.explain()}")
    return solid


def _walls(levels: int, count: int) -> NDArray[np.int64]:
    corner = np.arange(count)
    after = np.roll(corner, -1)
    below = np.arange(levels - 1)[:, None] * count
    low, low_after, high, high_after = below + corner, below + after, below + count + corner, below + count + after
    return np.concatenate(
        [
            np.stack((low, low_after, high_after), axis=-1).reshape(-1, 3),
            np.stack((low, high_after, high), axis=-1).reshape(-1, 3),
        ]
    )


def _lid(ring: NDArray[np.float64], middle: int, centre: tuple[float, float]) -> NDArray[np.int64]:
    """Return counter-clockwise triangles that fill a ring: a fan to the point numbered ``middle`` where that works."""
    about = ring - np.asarray(centre)
    after = np.roll(about, -1, axis=0)
    if (about[:, 0] * after[:, 1] - about[:, 1] * after[:, 0] > 0).all():
        corner = np.arange(len(ring))
        return np.column_stack((corner, np.roll(corner, -1), np.full(len(ring), middle)))
    if (ring == ring[0]).all():
        return np.empty((0, 3), dtype=np.int64)
    return triangulate([ring]).astype(np.int64)


def _check_uncrossed(rings: NDArray[np.float64], heights: NDArray[np.float64], name: str) -> None:
    sized = (rings != rings[:, :1]).any(axis=(1, 2))
    closed = np.concatenate((rings[sized], rings[sized, :1]), axis=1)
    outlines = shapely.linearrings(closed)
    crossed = ~(shapely.is_simple(outlines) & shapely.is_ccw(outlines))
    if crossed.any():
        raise SolidError(
            f"{name}: the section at height {heights[sized][np.argmax(crossed)]:g} mm crosses itself; use a smoother "
            "outline"
        )


def rounded_prism(outline: Polygon, height: float, radius: float, *, name: str) -> tuple[Solid, float]:
    """Return the prism over ``outline`` from z = 0 to ``height`` with its upper edge rounded, and the radius made, mm.

    The radius is halved until the edge can be drawn in without meeting itself; at last it is 0, a plain prism.

    Raises :class:`~stampwright.errors.SolidError` when no sound prism comes of it.
    """
    ring = shapely.get_coordinates(shapely.orient_polygons(Polygon(outline.exterior)).exterior)[:-1]
    inward = _corner_directions(ring)
    made = radius
    while made > CHORD_TOLERANCE:
        steps = chords_in(math.pi / 2, made, CHORD_TOLERANCE)
        angles = np.linspace(0, math.pi / 2, steps + 1)
        inset = np.concatenate(([0.0], made * (1 - np.cos(angles))))
        heights = np.concatenate(([0.0], height - made + made * np.sin(angles)))
        rings = ring + inward * inset[:, None, None]
        # Drawn in too far, the ring meets itself, or turns inside out and comes nearer to the outline than the radius.
        drawn_in = LinearRing(rings[-1])
        if drawn_in.is_simple and drawn_in.is_ccw and outline.exterior.distance(drawn_in) > 0.99 * made:
            middle = Polygon(rings[-1]).centroid
            return loft(rings, heights, name=name, centre=(middle.x, middle.y)), made
        made /= 2
    return extrude(Polygon(outline.exterior), 0.0, height, name=name), 0.0


def _corner_directions(ring: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return, for each corner of a counter-clockwise ring, how it moves when both its edges move inwards by 1."""
    edges = np.roll(ring, -1, axis=0) - ring
    normals = np.column_stack((-edges[:, 1], edges[:, 0])) / np.linalg.norm(edges, axis=1, keepdims=True)
    before = np.roll(normals, 1, axis=0)
    meeting = 1 + (normals * before).sum(axis=1, keepdims=True)
    directions: NDArray[np.float64] = (normals + before) / np.maximum(meeting, 1e-3)
    return directions
