"""Brushes cover what their ends, discs and squares do, and no more."""

import numpy as np
import pytest
from stampwright.artwork.drawn import Brushed, Dabs, spaced


@pytest.mark.parametrize("points", [2, 200])
@pytest.mark.parametrize("radii", [(1.0, 1.0), (1.0, 1.01)])
def test_a_brush_with_flat_ends_reaches_no_further_than_its_line(points, radii):
    course = np.column_stack((np.linspace(0.0, 10.0, points), np.zeros(points)))
    brushed = Brushed(course, np.linspace(*radii, points), flat=(True, True))
    left, bottom, right, top = brushed.region(0.005, 1.0).bounds
    assert (left, right) == pytest.approx((0.0, 10.0), abs=0.02)
    assert top - bottom == pytest.approx(2.0, abs=0.03)
    assert brushed.region(0.005, 1.0).area == pytest.approx(20.0, rel=0.01)


def test_a_line_that_comes_back_to_its_flat_end_is_not_cut_there():
    course = np.array([(0.0, 0.0), (5.0, 0.0), (5.0, 5.0), (-5.0, 5.0), (-5.0, 0.0), (-0.5, 0.0)])
    region = Brushed(course, np.ones(6), flat=(True, False)).region(0.005, 1.0)
    left, _, right, _ = region.bounds
    assert (left, right) == pytest.approx((-6.0, 6.0), abs=0.01)


def test_dabs_touch_each_other_along_a_line_however_they_grow():
    course = np.column_stack((np.linspace(0.0, 30.0, 400), np.zeros(400)))
    places, radii, steps = spaced(course, np.linspace(0.5, 2.0, 400))
    gaps = np.diff(places[:, 0])
    assert np.allclose(gaps, radii[:-1] + radii[1:], rtol=0.02)
    assert (np.diff(steps) > 0).all()


def test_squares_lie_along_what_they_are_turned_to():
    turned = np.array([(np.sqrt(0.5), np.sqrt(0.5))])
    region = Dabs(np.array([(0.0, 0.0)]), np.array([1.0]), turned).region(0.005, 1.0)
    assert region.area == pytest.approx(4.0)
    assert region.bounds[2] == pytest.approx(np.sqrt(2.0))


def test_dabs_of_no_size_draw_nothing():
    assert Dabs(np.zeros((3, 2)), np.zeros(3)).region(0.005, 1.0).is_empty
