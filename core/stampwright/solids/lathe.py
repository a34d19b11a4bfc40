"""Turned solids from a profile."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import ArrayLike
from shapely.geometry import Polygon

from ..errors import SolidError
from ..plane.circles import chords_in
from ..plane.regions import fault_of
from .kernel import settle
from .solid import Solid
from .soundness import judge_merged

CHORD_TOLERANCE = 0.01
"""How far the many-sided section of a turned solid may stray from the circle, mm; far below what a nozzle shows."""


def revolve(profile: ArrayLike, *, name: str, tolerance: float = CHORD_TOLERANCE) -> Solid:
    """Turn a closed profile round the z axis.

    ``profile``: (n, 2) points (radius, height), mm, either sense, last point not repeated; parts on the axis close
    there. Every section has the area of the true circle (its corners stand out by what its chords fall short), so the
    volume is Pappus's for the profile as given.

    Raises :class:`SolidError` when the profile crosses itself or the axis, or encloses nothing.
    """
    points = np.asarray(profile, dtype=np.float64).reshape(-1, 2)
    if len(points) < 3 or not np.isfinite(points).all():
        raise SolidError(f"{name}: a profile needs at least three points, all of them finite numbers")
    if points[:, 0].min() < 0:
        raise SolidError(f"{name}: the profile crosses the axis; every radius must be 0 or more")
    outline = Polygon(points)
    if not outline.is_valid or outline.area <= 0:
        raise SolidError(f"{name}: the profile crosses or touches itself ({fault_of(outline) or 'it has no area'})")
    if not shapely.is_ccw(outline.exterior):
        points = points[::-1]
    sides = sides_of_circle(points[:, 0].max(), tolerance)
    angles = 2 * np.pi * np.arange(sides) / sides
    # A regular n-gon of corner radius c has area n/2 c² sin(2 pi/n); c is chosen to make that pi r².
    radii = points[:, 0] * math.sqrt(2 * math.pi / (sides * math.sin(2 * math.pi / sides)))
    vertices = np.empty((sides, len(points), 3))
    vertices[:, :, 0] = np.cos(angles)[:, None] * radii
    vertices[:, :, 1] = np.sin(angles)[:, None] * radii
    vertices[:, :, 2] = points[:, 1]
    numbers = np.arange(sides * len(points)).reshape(sides, len(points))
    here, ahead = numbers, np.roll(numbers, -1, axis=0)
    here_next, ahead_next = np.roll(here, -1, axis=1), np.roll(ahead, -1, axis=1)
    faces = np.concatenate(
        [
            np.stack((here, ahead, ahead_next), axis=-1).reshape(-1, 3),
            np.stack((here, ahead_next, here_next), axis=-1).reshape(-1, 3),
        ]
    )
    # Points on the axis fall together here, and the triangles between them collapse and are dropped.
    solid = settle(name, vertices.reshape(-1, 3), faces)
    verdict = judge_merged(solid.vertices, solid.triangles)
    if not verdict.sound:
        raise SolidError(f"{name}: the profile does not turn into a sound solid: {verdict.explain()}")
    return solid


def sides_of_circle(radius: float, tolerance: float = CHORD_TOLERANCE) -> int:
    """Return how many sides keep a polygon within ``tolerance`` of a circle, mm; a multiple of 4, for symmetry.

    >>> sides_of_circle(20.0)
    100
    """
    return 4 * chords_in(math.pi / 2, radius, tolerance, least=4)
