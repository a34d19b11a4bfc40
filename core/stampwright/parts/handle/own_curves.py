"""Bodies of handles from the user's own curves: a profile for the lathe, or an outline raised straight."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import LinearRing, LineString, Point, Polygon

from ...errors import JobError
from ...job.sections.parts import HandleSection
from ...plane.overlays import common
from ...plane.regions import fault_of
from ...solids import revolve
from ...solids.lathe import CHORD_TOLERANCE
from ...solids.loft import rounded_prism
from .bodies import Body, half_section, hollowed
from .planform import planform_of, standing_room
from .sizes import fitted
from .strokes import Sections

FULLEST = 0.45
"""Least share of its half widths that an outline must hold all round to be drawn up, or hollowed, in its own form."""

FINE_PROFILE = 600
"""Points of a profile over which it is thinned, by half of what the facets round it may stray."""

MARK_ON_PROFILE = 3.0
"""Height of the up mark on a foot whose course above is the user's own, mm."""


def turned_body(handle: HandleSection) -> Body:
    """Turn the handle's profile, (radius, height) from the foot up; its own heights count, moved to stand on z = 0.

    Raises :class:`JobError` when the profile cannot be turned into one sound solid: it meets the axis between its ends,
    goes below its foot, or crosses itself.
    """
    profile = _checked_profile(np.array(handle.profile, dtype=np.float64))
    height = float(profile[:, 1].max())
    foot, top = float(profile[0, 0]), float(profile[-1, 0])
    level = profile[-1, 1] >= height - 1e-9
    sections = Sections(profile[:, 1], profile[:, 0], profile[:, 0], np.zeros(len(profile)))
    stand = standing_room(_circle(max(foot, top, 1.0)))
    cavity, found = hollowed(handle, sections, stand)
    return Body(
        solid=revolve(half_section(profile), name="handle"),
        foot=_circle(foot),
        flat=_circle(_flat_radius(profile)) if level else Polygon(),
        height=height,
        held=2 * float(profile[profile[:, 1] >= 0.4 * height, 0].max()),
        mark_height=MARK_ON_PROFILE,
        cavity=cavity,
        findings=found,
    )


def straight_body(handle: HandleSection, height: float, outline: Polygon | None = None) -> Body:
    """Raise the handle's own outline, or the one given, straight up to ``height`` mm, its upper edge rounded.

    Raises :class:`JobError` when its own outline is open, crosses itself or has no area.
    """
    solid_outline = outline if outline is not None else _checked_outline(handle)
    wanted = min(handle.edge_radius, height / 3)
    solid, edge = rounded_prism(solid_outline, height, wanted, name="handle")
    planform = planform_of(solid_outline)
    room = planform if planform.hold >= FULLEST else standing_room(solid_outline)
    along, across = max(room.half), min(room.half)
    upright = Sections(np.array([0.0, height]), np.full(2, along), np.full(2, across), np.zeros(2))
    cavity, found = hollowed(handle, upright, room)
    if edge < handle.edge_radius - 0.01:
        found += (fitted("edge radius", "handle.edge_radius", handle.edge_radius, edge),)
    box = shapely.get_coordinates(solid_outline.minimum_rotated_rectangle)
    flat = shapely.get_parts(solid_outline.buffer(-edge))
    return Body(
        solid=solid,
        foot=solid_outline,
        flat=max(flat, key=lambda part: part.area, default=Polygon()),
        height=height,
        held=float(np.linalg.norm(np.diff(box, axis=0), axis=1).min()),
        mark_height=height,
        cavity=cavity,
        findings=found,
    )


def _checked_outline(handle: HandleSection) -> Polygon:
    outline = Polygon(handle.outline)
    if not outline.is_valid or outline.area < 1.0:
        reason = fault_of(outline) or f"its area is {outline.area:g} mm²"
        raise JobError(
            f"handle.outline is no outline of a solid ({reason}); give the corners of one closed line that never meets "
            "itself"
        )
    left, bottom, right, top = outline.bounds
    # Wherever it was drawn, it stands in the middle of the base, as an outline of the base's own does.
    centred = affinity.translate(outline, -(left + right) / 2, -(bottom + top) / 2)
    return shapely.orient_polygons(centred.simplify(CHORD_TOLERANCE / 2))


def _checked_profile(profile: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the profile moved to stand on 0, checked to turn into one sound solid; a very fine one is thinned."""
    course = LineString(profile)
    points = shapely.get_coordinates(course.simplify(CHORD_TOLERANCE / 2) if len(profile) > FINE_PROFILE else course)
    points = points[np.concatenate(([True], np.diff(points, axis=0).any(axis=1)))]
    below = points[:, 1].min()
    if below < points[0, 1]:
        raise JobError(
            f"handle.profile goes down to {below:g} mm, below its foot at {points[0, 1]:g} mm; start at the lowest "
            "point and draw upwards"
        )
    if (points[:, 0] < 0).any():
        raise JobError("handle.profile crosses the axis: every radius must be 0 or more")
    inner = np.flatnonzero(points[1:-1, 0] == 0)
    if len(inner):
        raise JobError(
            f"handle.profile meets the axis at height {points[inner[0] + 1, 1]:g} mm, between its ends; two solids "
            "would hang on one point there: keep the radius above 0"
        )
    closed = half_section(points - (0.0, points[0, 1]))
    ring = LinearRing(closed) if len(closed) >= 3 else None
    if ring is None or not ring.is_simple or not ring.is_ccw or Polygon(ring).area <= 0:
        raise JobError(
            f"handle.profile encloses nothing, or crosses or touches itself{_crossing(points)}; draw it as one line "
            "from the foot's edge up to the top that never meets itself"
        )
    standing: NDArray[np.float64] = points - (0.0, points[0, 1])
    return standing


def _crossing(points: NDArray[np.float64]) -> str:
    """Say where the profile crosses itself, as far as its first 300 pieces tell."""
    pieces = shapely.linestrings(np.stack((points[:-1], points[1:]), axis=1)[:300])
    for index, piece in enumerate(pieces):
        later = pieces[index + 2 :]
        meeting = later[shapely.intersects(piece, later)] if len(later) else later
        if len(meeting):
            at = common(piece, meeting[0]).centroid
            return f" near radius {at.x:.2f}, height {at.y:.2f} mm"
    return ""


def _flat_radius(profile: NDArray[np.float64]) -> float:
    """Return the radius of the level top that the profile ends in, mm."""
    below = np.flatnonzero(profile[:, 1] != profile[-1, 1])
    return float(profile[below[-1] + 1 :, 0].max()) if len(below) else 0.0


def _circle(radius: float) -> Polygon:
    return Point(0.0, 0.0).buffer(max(radius, 0.0), quad_segs=24)
