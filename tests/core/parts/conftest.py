"""Bases, artwork and an independent judge of solids for the tests of parts."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.job import Job
from stampwright.solids import Solid


def outline_for(job: Job) -> Polygon:
    """Return a base as the layout draws it, for the outlines that need no artwork."""
    base = job.base
    if base.outline == "rectangle":
        radius = base.corner_radius
        inner = box(
            -base.width / 2 + radius, -base.height / 2 + radius, base.width / 2 - radius, base.height / 2 - radius
        )
        return inner.buffer(radius, quad_segs=12)
    circle = Point(0, 0).buffer(1, quad_segs=32)
    height = base.width if base.outline == "round" else base.height
    return affinity.scale(circle, base.width / 2, height / 2)


def leaning_drop() -> Polygon:
    """Return a smooth base that no mirror maps on itself."""
    angles = np.linspace(0, 2 * np.pi, 120, endpoint=False)
    radii = 18 + 5 * np.cos(angles - 0.6) + 3 * np.sin(2 * angles)
    return Polygon(np.column_stack((radii * np.cos(angles), radii * np.sin(angles))))


def lobed(lobes: int = 5, depth: float = 10.0) -> Polygon:
    """Return a base with rounded lobes, such as one that follows a flower."""
    angles = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    radii = 20 + depth * np.cos(lobes * angles)
    return Polygon(np.column_stack((radii * np.cos(angles), radii * np.sin(angles))))


def crescent() -> Polygon:
    """Return a base whose own middle lies outside it or near its edge."""
    return Point(0, 0).buffer(25).difference(Point(14, 0).buffer(20)).buffer(-1.5).buffer(1.5)


def flag(size: float = 30.0) -> MultiPolygon:
    """Return artwork that reads only one way: an F of sturdy strokes with a dot at its foot."""
    s = size / 30
    strokes = [box(-9, -15, -3, 15), box(-9, 9, 10, 15), box(-9, -2, 5, 3)]
    letter = strokes[0].union(strokes[1]).union(strokes[2])
    return MultiPolygon([affinity.scale(part, s, s, origin=(0, 0)) for part in (letter, Point(8, -11).buffer(3.5))])


def judged(solid: Solid) -> trimesh.Trimesh:
    """Return the solid as another library sees it, after rounding to the floats of a file."""
    mesh = trimesh.Trimesh(solid.vertices.astype(np.float32), solid.triangles, process=True)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume == pytest.approx(solid.volume, rel=1e-5)
    assert solid.vertices[:, 2].min() == 0.0
    return mesh
