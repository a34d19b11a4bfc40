"""The two frames, and the one reversal between them."""

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.plane.frames import die_to_paper, on_grid, paper_to_die
from stampwright.plane.grid import GRID


def test_there_and_back_again_changes_nothing():
    points = np.array([[0.0, 1.0, 2.0], [-3.5, 0.25, 1.0]])
    assert np.array_equal(die_to_paper(paper_to_die(points)), points)
    shape = Polygon([(1, 0), (4, 0), (1, 2)])
    assert die_to_paper(paper_to_die(shape)).equals(shape)


def test_what_is_right_on_paper_is_left_on_the_die():
    assert paper_to_die(box(1, 0, 2, 5)).bounds == (-2.0, 0.0, -1.0, 5.0)
    assert paper_to_die(np.array([[1.0, 2.0]])).tolist() == [[-1.0, 2.0]]


def test_the_given_points_are_left_alone_and_zero_has_no_sign():
    points = np.array([[0.0, 1.0]])
    turned = paper_to_die(points)
    assert points.tolist() == [[0.0, 1.0]]
    assert not np.signbit(turned[0, 0])


def test_an_asymmetric_shape_is_reversed_not_turned():
    shape = Polygon([(0, 0), (3, 0), (3, 1), (1, 1), (1, 4), (0, 4)])
    turned = paper_to_die(shape)
    assert turned.exterior.is_ccw != shape.exterior.is_ccw
    assert turned.area == shape.area


def test_an_outline_on_the_grid_is_what_a_file_of_32_bit_floats_holds():
    circle = on_grid(Point(0.1, 0.2).buffer(20.0))
    points = shapely.get_coordinates(circle)
    assert np.array_equal(points.astype(np.float32).astype(np.float64), points)
    assert np.abs(points / GRID - np.rint(points / GRID)).max() == 0


def test_corners_that_come_to_one_place_on_the_grid_are_one():
    corners = [(0, 0), (10, 0), (10, 10), (10 - GRID / 5, 10 + GRID / 5), (0, 10)]
    assert shapely.get_num_coordinates(on_grid(Polygon(corners))) == 5


def test_what_the_grid_makes_touch_is_valid_and_keeps_its_kind():
    hair = MultiPolygon([Polygon([(0, 0), (10, GRID / 9), (0, GRID / 7)]), box(0, 5, 10, 9)])
    gridded = on_grid(hair)
    assert gridded.is_valid
    assert gridded.geom_type == "MultiPolygon"
    assert gridded.area == 40.0
