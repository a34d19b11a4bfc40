"""The planform of a handle: the foot's outline as every section of a form is scaled from it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LinearRing, Point, Polygon

from ...errors import SolidError
from ...plane.regions import fault_of
from ...solids.lathe import CHORD_TOLERANCE
from .strokes import FACET_CHORD, Sections

MOST_CORNERS = 360
"""Points round a planform at most; beyond, a base is so large that longer facets do not show."""


@dataclass(frozen=True, eq=False)
class Planform:
    """An outline brought to half widths of 1.

    ``centre``: its area centroid, mm, paper frame; ``half``: half widths about it in x and y, mm; ``points``: (n, 2),
    counter-clockwise, in shares of the half widths; ``hold``: distance of the nearest point from the middle, in those
    shares (1 for circles, ellipses and rectangles, 0 where not all of the outline can be seen from the middle).
    ``growth``: least and most that the outline moves, square to itself, when both half widths grow by 1 mm (both 1 for
    a circle, 1 and 1.4 for a square's flats and corners). ``circle``: whether it stands for a true circle, which is
    turned on the lathe.
    """

    centre: tuple[float, float]
    half: tuple[float, float]
    points: NDArray[np.float64]
    hold: float
    growth: tuple[float, float] = (1.0, 1.0)
    circle: bool = False


def planform_of(outline: Polygon, *, circle: bool = False) -> Planform:
    """Return the planform of an outline, mm; raises :class:`SolidError` when the outline crosses itself or is empty."""
    if outline.is_empty or not outline.is_valid or outline.area <= 0:
        raise SolidError(
            "the handle's outline is open, empty or crosses itself "
            f"({fault_of(outline) or 'it has no area'}); draw one closed line that never meets itself"
        )
    solid = shapely.orient_polygons(Polygon(outline.exterior).simplify(CHORD_TOLERANCE / 2))
    # To a millionth, so that an outline drawn about the origin is shaped about the origin.
    centre = (round(solid.centroid.x, 6) + 0.0, round(solid.centroid.y, 6) + 0.0)
    spacing = math.sqrt(8 * FACET_CHORD * math.sqrt(solid.area / math.pi))
    finer = shapely.segmentize(solid.exterior, max(spacing, solid.length / MOST_CORNERS))
    about = shapely.get_coordinates(finer)[:-1] - centre
    half = np.abs(about).max(axis=0)
    points = about / half
    after = np.roll(points, -1, axis=0)
    seen = (points[:, 0] * after[:, 1] - points[:, 1] * after[:, 0] > 0).all()
    hold = min(float(Point(0, 0).distance(LinearRing(points))), 1.0) if seen else 0.0
    return Planform(centre, (float(half[0]), float(half[1])), points, hold, _growth(points, half), circle)


def standing_room(outline: Polygon, clear: float = 0.0) -> Planform:
    """Return the circle on which a turned form can stand within an outline, ``clear`` mm from its edge.

    Its centre is the outline's own as far as there is room, so that the push of the hand comes down in the middle.
    """
    widest = shapely.maximum_inscribed_circle(outline, tolerance=0.01)
    spot, radius = Point(widest.coords[0]), widest.length
    at_centre = outline.exterior.distance(outline.centroid) if outline.contains(outline.centroid) else 0.0
    if at_centre > 0.75 * radius:
        spot, radius = outline.centroid, at_centre
    radius = max(radius - clear, 0.5 * radius)
    angles = np.linspace(0, 2 * np.pi, 4 * 24, endpoint=False)
    points = np.column_stack((np.cos(angles), np.sin(angles)))
    centre = (round(spot.x, 6) + 0.0, round(spot.y, 6) + 0.0)
    return Planform(centre, (radius, radius), points, 1.0, circle=True)


def rings_of(planform: Planform, sections: Sections) -> NDArray[np.float64]:
    """Return a form's rings, (k, n, 2) float, mm, paper frame.

    Every point keeps its ray from the middle in shares of the half widths, so an outline that can be seen whole from
    there stays so in every section, and no section crosses itself.
    """
    # Rays in shares: roundness moves each point along its own ray towards the unit circle.
    circle = planform.points / np.linalg.norm(planform.points, axis=1, keepdims=True)
    roundness = sections.roundness[:, None, None]
    shares = planform.points * (1 - roundness) + circle * roundness
    lying = planform.half[0] >= planform.half[1]
    half_widths = np.stack((sections.along, sections.across) if lying else (sections.across, sections.along), axis=-1)[
        :, None, :
    ]
    rings: NDArray[np.float64] = shares * half_widths + np.asarray(planform.centre)
    return rings


def _growth(points: NDArray[np.float64], half: NDArray[np.float64]) -> tuple[float, float]:
    outline = points * half
    edges = np.roll(outline, -1, axis=0) - outline
    normals = np.column_stack((edges[:, 1], -edges[:, 0])) / np.linalg.norm(edges, axis=1, keepdims=True)
    moved = (normals * (points + np.roll(points, -1, axis=0)) / 2).sum(axis=1)
    return float(moved.min()), float(moved.max())
