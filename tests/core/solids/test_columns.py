"""Reckoning by columns gives what rows of three give."""

from __future__ import annotations

import numpy as np
import pytest
from stampwright.plane.beds import box_of
from stampwright.solids.columns import lengths_of, normals_of
from stampwright.solids.solid import Solid


def test_normals_areas_and_boxes_are_those_of_rows() -> None:
    chance = np.random.default_rng(1)
    vertices, triangles = chance.uniform(-50, 50, (40, 3)), chance.integers(0, 40, (90, 3))
    corners = vertices[triangles]
    rows = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert np.array_equal(np.stack(normals_of(vertices, triangles), axis=1), rows)
    assert lengths_of(normals_of(vertices, triangles)) == pytest.approx(np.linalg.norm(rows, axis=1))
    low, high = box_of(vertices)
    assert np.array_equal(low, vertices.min(axis=0))
    assert np.array_equal(high, vertices.max(axis=0))


def test_volume_and_area_are_told_of_a_box() -> None:
    corners = np.array([(x, y, z) for x in (100.0, 102.0) for y in (0.0, 3.0) for z in (0.0, 4.0)])
    faces = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    triangles = [each for a, b, c, d in faces for each in ((a, b, c), (a, c, d))]
    solid = Solid("box", corners, np.array(triangles, dtype=np.int32))
    assert solid.volume == pytest.approx(24.0)
    assert solid.area == pytest.approx(52.0)
