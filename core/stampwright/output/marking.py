"""Places of findings as triangles and edges, for whoever draws them on a screen."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from ..plane.overlays import all_joined, common, in_each

MOST_LINES = 500
"""Lines of hatching over one region at most."""


def place_triangles(places: Sequence[BaseGeometry]) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Return what places cover, (n, 3) float32 with three points to a triangle, and their edges, two points to each.

    ``places``: regions, mm, paper frame; z is 0. Lines and points among them have edges or nothing.
    """
    whole = all_joined(np.asarray(places, dtype=object))
    solid = [part for part in shapely.get_parts(whole) if part.geom_type == "Polygon"]
    try:
        triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(np.array(solid, dtype=object)))
    except shapely.errors.GEOSException:
        # It fails on some outlines that all but touch themselves; their edges still show where they are.
        triangles = np.empty(0, dtype=object)
    corners = shapely.get_coordinates(triangles).reshape(-1, 4, 2)[:, :3].reshape(-1, 2)
    rings = [shapely.get_coordinates(ring) for ring in shapely.get_rings(np.array(solid, dtype=object))]
    edges = [np.stack((ring[:-1], ring[1:]), axis=1).reshape(-1, 2) for ring in rings]
    return _lifted(corners), _lifted(np.concatenate(edges) if edges else np.empty((0, 2)))


def hatching(region: BaseGeometry, spacing: float, angle: float) -> NDArray[np.float32]:
    """Return parallel lines over a region, two points to each, (n, 3) float32; z is 0.

    ``spacing``: from line to line, mm, or wider where that would be over :data:`MOST_LINES`; ``angle``: which way the
    lines run, degrees from the x axis.
    """
    if region.is_empty:
        return _lifted(np.empty((0, 2)))
    laid = affinity.rotate(region, -angle, origin=(0, 0))
    left, bottom, right, top = laid.bounds
    step = max(spacing, (top - bottom) / MOST_LINES)
    # On a raster of the frame, so that regions side by side are hatched as one.
    heights = np.arange(np.ceil(bottom / step), np.floor(top / step) + 1) * step
    rows = np.stack((np.full(len(heights), left), heights, np.full(len(heights), right), heights), axis=1)
    shapely.prepare(laid)
    cut = shapely.get_parts(in_each(common, shapely.linestrings(rows.reshape(-1, 2, 2)), laid))
    lines = cut[shapely.get_type_id(cut) == 1]
    back = affinity.rotate(shapely.multilinestrings(lines), angle, origin=(0, 0))
    return _lifted(shapely.get_coordinates(back))


def _lifted(points: NDArray[np.float64]) -> NDArray[np.float32]:
    return np.column_stack((points, np.zeros(len(points)))).astype(np.float32)
