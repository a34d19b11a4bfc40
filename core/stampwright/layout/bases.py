"""Bases: the outline of the die's floor, set by its section or following the ink."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ..errors import JobError
from ..findings import Finding
from ..job.sections.placing import BaseSection
from ..plane.circles import chords_in
from ..plane.overlays import all_joined, joined
from ..plane.regions import fault_of

BASE_JOINED = "base joined"

CHORD_ERROR = 0.005
"""How far a straight piece of a round, elliptic or rounded base strays from the true curve, mm; corners lie on it."""

OFFSET_ERROR = 0.0005
"""The same for a base that follows the artwork, mm: there the curve is a distance that must hold to 0.001 mm."""


def outline_base(section: BaseSection) -> Polygon:
    """Return the outline of a base that does not depend on the artwork.

    Paper frame, mm, counter-clockwise, the middle of its bounds at the origin. Curves are polygons with their corners
    on the true curve and at most :data:`CHORD_ERROR` between. Raises :class:`~stampwright.errors.JobError` when
    custom corners make no outline.

    >>> round(outline_base(BaseSection(outline="round", width=50)).area / (math.pi * 25**2), 3)
    1.0
    """
    half_width, half_height = section.width / 2, section.height / 2
    match section.outline:
        case "round":
            return _ellipse(half_width, half_width)
        case "ellipse":
            return _ellipse(half_width, half_height)
        case "rectangle":
            return _rounded_rectangle(half_width, half_height, section.corner_radius)
        case "custom":
            return _custom_outline(section.points)
    raise JobError(f"base.outline = {section.outline!r} has no outline without artwork")


def fitting_sides(inked: MultiPolygon, width: float, margin: float) -> tuple[float, float]:
    """Return the sides of a base, (width, height) in mm, in the proportions of the ink on it, the longer one ``width``.

    Whole millimetres, the clear ``margin`` round the ink included on both sides, and no side under a third of the
    other: a strip would tilt in the hand. Without ink both sides are ``width``.

    >>> fitting_sides(MultiPolygon([shapely.box(0, 0, 20, 10)]), 50.0, 2.0)
    (50.0, 27.0)
    """
    if inked.is_empty:
        return width, width
    left, bottom, right, top = inked.bounds
    longer, shorter = max(right - left, top - bottom), min(right - left, top - bottom)
    room = max(width - 2 * margin, 0.0)
    other = max(math.ceil(2 * margin + room * shorter / longer), math.ceil(width / 3))
    other = min(float(other), width)
    return (width, other) if right - left >= top - bottom else (other, width)


def follow_ink(inked: MultiPolygon, section: BaseSection) -> tuple[Polygon, list[Finding]]:
    """Return the outline at ``base.margin`` round the ink, its hollows rounded by ``base.smoothing``.

    Rounding by a closing (out by margin + smoothing, back by smoothing) fills hollows that a disc of that radius
    cannot enter and leaves the distance from ink to edge at the margin or more. Ink in parts that lie too far apart
    for one outline is joined by rounding hollows with a larger disc, in the end by the hull.
    """
    smoothing = section.smoothing
    filled = _fill_fine_hollows(inked, section.margin + smoothing)
    base = _close_hollows(filled, section.margin, smoothing)
    while base.geom_type != "Polygon" and smoothing < _longer_side(base):
        smoothing = max(2 * smoothing, 1.0)
        base = _close_hollows(filled, section.margin, smoothing)
    if base.geom_type != "Polygon":
        base = _close_hollows(filled.convex_hull, section.margin, 0.0)
    outline = _counter_clockwise(Polygon(base.exterior))
    if smoothing == section.smoothing:
        return outline, []
    joined = Finding(
        kind=BASE_JOINED,
        severity="notes",
        stage="layout",
        message=f"The ink's parts lie too far apart for one base; its hollows are rounded by {smoothing:g} mm to join",
        remedy="Raise base.smoothing or base.margin, or choose another base.outline",
        measured=smoothing,
        limit=section.smoothing,
    )
    return outline, [joined]


def _ellipse(half_width: float, half_height: float) -> Polygon:
    count = 4 * chords_in(math.pi / 2, max(half_width, half_height), CHORD_ERROR)
    angles = np.arange(count) * (2 * math.pi / count)
    return Polygon(np.column_stack([half_width * np.cos(angles), half_height * np.sin(angles)]))


def _rounded_rectangle(half_width: float, half_height: float, radius: float) -> Polygon:
    if radius <= 0:
        return shapely.box(-half_width, -half_height, half_width, half_height)
    quarter = np.linspace(0.0, math.pi / 2, chords_in(math.pi / 2, radius, CHORD_ERROR) + 1)
    corners = []
    for turn, (x, y) in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
        angles = quarter + turn * math.pi / 2
        middle = np.array([x * (half_width - radius), y * (half_height - radius)])
        corners.append(middle + radius * np.column_stack([np.cos(angles), np.sin(angles)]))
    return _counter_clockwise(Polygon(np.concatenate(corners)))


def _custom_outline(points: tuple[tuple[float, float], ...]) -> Polygon:
    if len(set(points)) < 3:
        raise JobError("base.points needs at least 3 different points when base.outline is custom")
    outline = Polygon(points)
    if not outline.is_valid:
        raise JobError(
            f"base.points do not make one plain outline ({fault_of(outline)}): list the corners in order round "
            f"the edge, without crossings"
        )
    left, bottom, right, top = outline.bounds
    if min(right - left, top - bottom) < 1.0:
        raise JobError(
            f"base.points make a base of {right - left:.2f} x {top - bottom:.2f} mm: it must be at least 1 mm each way"
        )
    return _counter_clockwise(affinity.translate(outline, -(left + right) / 2, -(bottom + top) / 2))


def _fill_fine_hollows(inked: MultiPolygon, radius: float) -> shapely.Geometry:
    """Return the ink without holes and without hollows that an offset by ``radius`` would not show; much faster so.

    Offsetting by a disc gives the same for a region and for its closing by any smaller disc (Serra 1982). Each closing
    stays 1 % short, so that the corners of its polygonal disc reach nowhere that the true disc would not.
    """
    filled = _without_holes(inked).simplify(OFFSET_ERROR / 5)
    disc = 0.1
    while disc < radius:
        closed = filled.buffer(disc, quad_segs=8).buffer(-1.01 * disc, quad_segs=8)
        filled = _without_holes(joined(filled, closed)).simplify(OFFSET_ERROR / 5)
        disc *= 2.5
    return filled


def _without_holes(region: shapely.Geometry) -> shapely.Geometry:
    return all_joined([Polygon(part.exterior) for part in shapely.get_parts(region)])


def _close_hollows(region: shapely.Geometry, margin: float, smoothing: float) -> shapely.Geometry:
    outer = region.buffer(margin + smoothing, quad_segs=chords_in(math.pi / 2, margin + smoothing, OFFSET_ERROR))
    outer = _without_holes(outer)
    if smoothing > 0:
        outer = outer.buffer(-smoothing, quad_segs=chords_in(math.pi / 2, smoothing, OFFSET_ERROR))
    return outer.simplify(OFFSET_ERROR / 5)


def _counter_clockwise(outline: Polygon) -> Polygon:
    return shapely.geometry.polygon.orient(outline.simplify(0.0), 1.0)


def _longer_side(region: shapely.Geometry) -> float:
    left, bottom, right, top = region.bounds
    return float(max(right - left, top - bottom))
