"""Signs: one shape a severity, told apart without colour, the same on paper as over the view."""

import math

import pytest
import shapely
from stampwright.findings import SEVERITIES
from stampwright.looks.signs import KEY, WORDS, sign_corners
from stampwright.output.paper.drawing import sign_svg

TOLD = {"blocks": 8, "warns": 3, "notes": 32}


@pytest.mark.parametrize("severity", SEVERITIES)
def test_shape_tells_the_severity(severity):
    sign = shapely.Polygon(sign_corners(severity))
    assert len(sign.exterior.coords) - 1 == TOLD[severity]
    assert sign.exterior.is_ccw
    assert sign.equals(sign.convex_hull)
    # They look about equally heavy.
    assert 1.8 < sign.area < 3.0
    assert sign.contains(shapely.Point(0.0, 0.0))


def test_octagon_stands_flat_and_triangle_on_its_base():
    octagon, triangle = sign_corners("blocks"), sign_corners("warns")
    assert sum(math.isclose(y, max(y for _, y in octagon)) for _, y in octagon) == 2
    assert sum(math.isclose(y, min(y for _, y in triangle)) for _, y in triangle) == 2


@pytest.mark.parametrize("severity", ["blocks", "warns"])
def test_paper_draws_the_same_shape(severity):
    drawn = sign_svg(severity, 7, 0.0, 0.0)
    corners = drawn.split('d="M')[1].split("Z")[0].split("L")
    assert len(corners) == TOLD[severity]
    for drawn_corner, (right, up) in zip(corners, sign_corners(severity), strict=True):
        x, y = map(float, drawn_corner.split())
        assert (x / right, -y / up) == pytest.approx((1.9, 1.9), rel=0.05) or min(abs(right), abs(up)) < 0.3


def test_words_name_every_severity():
    assert set(WORDS) == set(SEVERITIES)
    for shape, words in (("Octagon", "blocks"), ("Triangle", "warns"), ("Circle", "note")):
        assert f"{shape}: {words}" in KEY
