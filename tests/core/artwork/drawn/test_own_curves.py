"""Curves drawn for a base or a handle, as points of the job."""

import numpy as np
import pytest
from stampwright import JobError
from stampwright.artwork.drawn import bezier_curve, outline_points, polyline, profile_points

SQUARE = np.array([(5.0, 5.0), (25.0, 5.0), (25.0, 15.0), (5.0, 15.0)])
PROFILE = np.array([(20.0, 3.0), (12.0, 20.0), (16.0, 40.0), (0.0, 50.0)])


def test_an_outline_comes_to_its_middle():
    points = outline_points([polyline(SQUARE, closed=True)], 0.005, what="it")
    assert set(points) == {(-10.0, -5.0), (10.0, -5.0), (10.0, 5.0), (-10.0, 5.0)}


@pytest.mark.parametrize("drawn", [PROFILE, PROFILE[::-1], PROFILE * (-1.0, 1.0)])
def test_a_profile_goes_from_the_foot_up_whatever_way_it_was_drawn(drawn):
    points = profile_points([polyline(drawn, closed=False)], 0.005, what="it")
    assert points == ((20.0, 0.0), (12.0, 17.0), (16.0, 37.0), (0.0, 47.0))


def test_a_profile_of_curves_is_straightened_within_the_tolerance():
    ends = np.array([(20.0, 0.0), (10.0, 40.0)])
    coarse, fine = (
        profile_points([bezier_curve(ends, ends + 8, ends - 8, closed=False)], tolerance, what="it")
        for tolerance in (0.1, 0.001)
    )
    assert len(coarse) < len(fine) < 400


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ([polyline(SQUARE, closed=False)], "it is open: close it"),
        ([], "0 lines: it takes exactly one"),
        ([polyline(SQUARE[[0, 2, 1, 3]], closed=True)], "never meets itself"),
        ([polyline(SQUARE / 100, closed=True)], "draw it larger"),
        ([polyline(SQUARE * np.nan, closed=True)], "not a number"),
    ],
)
def test_an_outline_that_is_none_says_what_to_do(lines, said):
    with pytest.raises(JobError, match=said):
        outline_points(lines, 0.005, what="it")


def test_a_profile_that_cannot_be_turned_says_what_to_do():
    with pytest.raises(JobError, match="it is closed"):
        profile_points([polyline(PROFILE, closed=True)], 0.005, what="it")
    with pytest.raises(JobError, match=r"crosses the axis by 5\.00 mm"):
        profile_points([polyline(PROFILE - (5.0, 0.0), closed=False)], 0.005, what="it")
