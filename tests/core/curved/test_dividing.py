from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point
from stampwright.curved.dividing import divide_along
from stampwright.solids import Solid, check_soundness

from .conftest import dots, flat_die


@pytest.mark.parametrize("step", [0.2, 1.0, 7.0, 500.0])
def test_a_divided_die_is_the_same_solid_in_triangles_no_longer_than_asked(step):
    flat = flat_die(dots(), Point(0, 0).buffer(32), chamfer=0.4)
    points, triangles = divide_along(flat.vertices, flat.triangles.astype(np.int64), step)
    divided = Solid("die", points, triangles.astype(np.int32))
    assert np.ptp(points[triangles, 0], axis=1).max() <= step * (1 + 1e-9)
    assert check_soundness(points, triangles).sound
    assert divided.volume == pytest.approx(flat.volume, rel=1e-12)
    assert divided.area == pytest.approx(flat.area, rel=1e-12)
    assert (points[: len(flat.vertices)] == flat.vertices).all()


coordinate = st.floats(-20, 20).map(lambda value: round(value, 2))


@given(st.lists(st.tuples(coordinate, coordinate), min_size=4, max_size=25, unique=True), st.floats(0.3, 9))
def test_any_triangles_keep_area_and_sense_and_stay_joined(places, step):
    hull = shapely.MultiPoint(places)
    pieces = [each for each in shapely.get_parts(shapely.delaunay_triangles(hull)) if each.area > 1e-6]
    if not pieces:
        return
    corners = [tuple(shapely.get_coordinates(shapely.orient_polygons(each).exterior)[:3].ravel()) for each in pieces]
    flat = np.asarray(corners).reshape(-1, 2)
    points, names = np.unique(flat, axis=0, return_inverse=True)
    divided, triangles = divide_along(np.column_stack((points, np.zeros(len(points)))), names.reshape(-1, 3), step)
    a, b, c = (divided[triangles[:, k], :2] for k in range(3))
    areas = ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]) / 2
    assert (areas > 0).all()
    assert areas.sum() == pytest.approx(sum(each.area for each in pieces), rel=1e-9)
    # Edges in one triangle only lie on the hull: no gap has opened inside.
    edges = np.sort(np.concatenate((triangles[:, :2], triangles[:, 1:], triangles[:, [2, 0]])), axis=1)
    single, uses = np.unique(edges, axis=0, return_counts=True)
    outer = divided[single[uses == 1], :2].mean(axis=1)
    rim = shapely.union_all(pieces).boundary
    assert uses.max() <= 2
    assert shapely.distance(rim, shapely.points(outer)).max(initial=0.0) < 1e-6
