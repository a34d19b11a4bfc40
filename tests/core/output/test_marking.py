"""Places of findings as triangles for a screen."""

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point, box
from stampwright.output.marking import MOST_LINES, hatching, place_triangles


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


def test_hatching_lies_in_the_region_spaced_as_asked():
    region = shapely.union_all([Point(0, 0).buffer(3).difference(Point(0, 0).buffer(1)), box(5, 0, 9, 2)])
    lines = hatching(region, 0.25, 45.0).reshape(-1, 2, 3)[:, :, :2].astype(float)
    drawn = shapely.linestrings(lines)
    assert shapely.covers(region.buffer(1e-5), drawn).all()
    # Lines a quarter apart stand for a quarter of a millimetre of area each.
    assert 0.25 * shapely.length(drawn).sum() == pytest.approx(region.area, rel=0.03)
    assert np.allclose(np.diff(lines, axis=1)[:, 0] @ (1.0, -1.0), 0.0, atol=1e-5)


def test_hatching_of_nothing_is_nothing_and_of_much_is_bounded():
    assert hatching(shapely.MultiPolygon(), 0.25, 45.0).shape == (0, 3)
    assert len(hatching(box(0, 0, 1e6, 1e6), 0.25, 0.0)) <= 2 * MOST_LINES + 2
