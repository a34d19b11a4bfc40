"""Dies, their bends, and closed forms for the tests of curved faces."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.curved import Bend
from stampwright.plane.grid import GRID
from stampwright.solids import ReliefHeights, Solid, raise_relief

FLOOR, FACE, TOP = 2.0, 4.0, 4.2


def dots(pitch: float = 6.0, radius: float = 1.5, reach: float = 18.0) -> MultiPolygon:
    """Return a field of dots with a ring round it: many small parts, and one as long as all of them."""
    places = np.arange(-reach, reach + 0.1, pitch)
    field = shapely.union_all([Point(x, y).buffer(radius, quad_segs=6) for x in places for y in places])
    ring = Point(0, 0).buffer(1.45 * reach + 3.0).difference(Point(0, 0).buffer(1.45 * reach + 2.0))
    return MultiPolygon(shapely.get_parts(field.union(ring)))


def flat_die(face: MultiPolygon, base: Polygon, *, chamfer: float = 0.0, shoulder: float = 15.0) -> Solid:
    """Return a die that is raised from a face."""
    heights = ReliefHeights(floor=FLOOR, face=FACE, top=TOP, chamfer=chamfer)
    return raise_relief(face, base, heights, shoulder=shoulder, name="die")


def repeat_of(length: float) -> float:
    """Return a length that lies on the grid with its half."""
    return round(length / (2 * GRID)) * 2 * GRID


def roller(length: float, turns: int, *, upward: bool = False) -> Bend:
    """Return a roller whose repeats of a length go round exactly."""
    repeat = repeat_of(length)
    return Bend(
        radius=repeat * turns / (2 * math.pi),
        height=FACE,
        dressing=TOP - FACE,
        upward=upward,
        repeat=repeat,
        turns=turns,
        seam=repeat / 2,
    )


def band(bend: Bend, width: float) -> Polygon:
    """Return the base of one repeat."""
    half = bend.repeat / 2
    return box(-width / 2, -half, width / 2, half) if bend.upward else box(-half, -width / 2, half, width / 2)


def pappus(flat: Solid, bend: Bend) -> float:
    """Return the volume of a flat solid once it is bent, mm³.

    By Pappus of Alexandria's theorem each part of a section sweeps its way round the axis: what lay at height z comes
    to the distance inner + z, and is as much longer as that is more than the radius at which lengths stay.
    """
    a, b, c = (flat.vertices[flat.triangles[:, k]] for k in range(3))
    volumes = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
    heights = (a[:, 2] + b[:, 2] + c[:, 2]) / 4
    return float((volumes * (bend.inner + heights)).sum() / bend.radius)
