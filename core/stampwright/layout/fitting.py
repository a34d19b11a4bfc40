"""Fitting: how much artwork is magnified to come to the size, or as close to the base's edge, as was asked."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import LinearRing, MultiPolygon, Point, Polygon

from ..errors import ArtworkError, JobError
from ..job.sections.placing import BaseSection, LayoutSection

SMALLEST_INK = 1e-6
"""Ink no larger than this either way is no artwork, mm; magnified to a stamp it would be rounding errors."""


def wanted_scale(
    layout: LayoutSection,
    section: BaseSection,
    centred: MultiPolygon,
    base: Polygon | None,
    *,
    true_size: bool,
    foot: float,
) -> float:
    """Return the magnification that is asked for.

    ``centred``: artwork with its middle at the origin, mm. ``base``: the base's outline, mm, or None when it follows
    the artwork. ``true_size``: whether the drawing says how large it is. ``foot``: how far the shoulder stands out, mm.
    Raises :class:`~stampwright.errors.JobError` when the margin leaves no room for ink, and
    :class:`~stampwright.errors.ArtworkError` when the ink has no extent to be sized by.
    """
    width, height = size_of(centred)
    match layout.size_by:
        case "page":
            return 1.0
        case "drawn" if true_size and _fits_as_drawn(layout, section, centred, base, foot):
            return 1.0
        case "width":
            return _enlargement(layout.width, width, "width")
        case "height":
            return _enlargement(layout.height, height, "height")
    if base is not None:
        return fit_to_base(centred, base, layout.margin)
    room_across, room_up = section.width - 2 * section.margin, section.height - 2 * section.margin
    if min(room_across, room_up) <= 0:
        raise JobError(
            f"base.margin = {section.margin:g} mm leaves no room for ink on a base of {section.width:g} x "
            f"{section.height:g} mm; allowed here: less than {min(section.width, section.height) / 2:g} mm"
        )
    return min(room_across / max(width, SMALLEST_INK), room_up / max(height, SMALLEST_INK))


def _fits_as_drawn(
    layout: LayoutSection, section: BaseSection, centred: MultiPolygon, base: Polygon | None, foot: float
) -> bool:
    if base is None:
        width, height = size_of(centred)
        return width + 2 * section.margin <= section.width and height + 2 * section.margin <= section.height
    return bool(base.covers(centred)) and base.exterior.distance(centred) >= min(foot, layout.margin) - 1e-6


def fit_to_base(centred: MultiPolygon, base: Polygon, margin: float) -> float:
    """Return the magnification about the origin that brings artwork to ``margin`` mm from the base's edge.

    ``centred``: artwork with its middle at the origin. Growing from nothing, the artwork first comes that close at
    the scale returned. On a convex base with edges ``n . p <= d`` that scale is the least of ``(d - margin) / h(n)``,
    ``h`` the artwork's support function; on others it is found by stepping, see :func:`_fit_by_stepping`.
    Raises :class:`~stampwright.errors.JobError` when even the base's middle lies within the margin.

    >>> fit_to_base(MultiPolygon([shapely.box(-1, -1, 1, 1)]), shapely.box(-10, -10, 10, 10), margin=2.0)
    8.0
    """
    edge = LinearRing(base.exterior)
    room = edge.distance(Point(0, 0)) if base.contains(Point(0, 0)) else 0.0
    if room <= margin:
        raise JobError(
            f"layout.margin = {margin:g} mm leaves no room for ink: the base's middle is {room:g} mm from its edge"
            + (f"; allowed here: less than {room:g} mm" if room else "")
        )
    hull = shapely.get_coordinates(centred.convex_hull)
    if not _is_convex(base):
        return _fit_by_stepping(centred, edge, margin, room, float(np.hypot(*hull.T).max()))
    normals, distances = _edge_lines(base)
    reach = np.array([(hull @ normal).max() for normal in normals])
    towards = reach > 0
    return float(((distances[towards] - margin) / reach[towards]).min())


def _enlargement(wanted: float, present: float, which: str) -> float:
    if present <= SMALLEST_INK:
        raise ArtworkError(f"the artwork's ink has no {which}: it cannot be sized by it; set layout.size_by = fit")
    return wanted / present


def _is_convex(base: Polygon) -> bool:
    return bool(base.convex_hull.area - base.area <= 1e-9 * base.area)


def _edge_lines(base: Polygon) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the outward normals (n, 2) and the distances from the origin (n,) of a convex outline's edges."""
    corners = shapely.get_coordinates(base.exterior)
    along = np.diff(corners, axis=0)
    lengths = np.hypot(along[:, 0], along[:, 1])
    normals = np.column_stack([along[:, 1], -along[:, 0]])[lengths > 0] / lengths[lengths > 0, None]
    return normals, np.einsum("ij,ij->i", normals, corners[:-1][lengths > 0])


def _fit_by_stepping(centred: MultiPolygon, edge: LinearRing, margin: float, room: float, radius: float) -> float:
    """Grow the artwork until it comes to ``margin`` from the edge, never past the first such scale.

    A point of the artwork moves by at most ``radius`` per unit of scale, so a step of (distance - margin) / radius
    cannot jump over the first contact (Hart 1996, "Sphere tracing", Lipschitz bound).
    """
    scale = (room - margin) / radius
    for _ in range(2000):
        shrunk = affinity.scale(edge, 1 / scale, 1 / scale, origin=(0, 0))
        spare = scale * float(centred.distance(shrunk)) - margin
        if spare < 1e-5:
            break
        scale += spare / radius
    return scale


def size_of(region: shapely.Geometry) -> tuple[float, float]:
    """Return width and height of a region, mm."""
    left, bottom, right, top = region.bounds
    return right - left, top - bottom
