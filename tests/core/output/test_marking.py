"""Places of findings as triangles for a screen."""

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point, box
from stampwright.output.marking import place_triangles


def test_triangles_cover_the_places_and_edges_go_round_them():
    places = [Point(0, 0).buffer(2), box(5, 5, 6, 6), box(5.5, 5, 7, 6)]
    triangles, edges = place_triangles(places)
    whole = shapely.union_all(places)
    corners = triangles.reshape(-1, 3, 3)[:, :, :2].astype(float)
    assert shapely.area(shapely.polygons(corners)).sum() == pytest.approx(whole.area, rel=1e-5)
    lengths = np.linalg.norm(np.diff(edges.reshape(-1, 2, 3), axis=1), axis=2)
    assert lengths.sum() == pytest.approx(whole.length, rel=1e-5)
    assert not triangles[:, 2].any()


def test_places_without_area_are_left_out():
    triangles, edges = place_triangles([LineString([(0, 0), (1, 1)])])
    assert triangles.shape == edges.shape == (0, 3)
