"""Regions with many holes are filled by way of cuts, with the same result as without."""

from unittest.mock import patch

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Point, box
from stampwright.solids.plan import filling
from stampwright.solids.plan.filling import fill, turning
from stampwright.solids.plan.joining import join_holes
from stampwright.solids.plan.outlines import Outlines, outline


def filled_area(rings: Outlines) -> float:
    triangles = fill(rings)
    doubled = turning(rings.points, triangles)
    assert (doubled > 0).all()
    return float(doubled.sum()) / 2


def test_every_dot_of_a_screen_is_joined() -> None:
    dots = [Point(0.83 * i + 0.13 * j, 0.91 * j).buffer(0.3, quad_segs=3) for i in range(20) for j in range(20)]
    rings = outline(box(-2, -2, 25, 22).difference(MultiPolygon(dots)), "screen")
    order, sizes = join_holes(rings)
    assert (len(rings.starts) - 1, len(sizes)) == (401, 1)
    # Each cut is run along twice and so adds two points.
    assert len(order) == len(rings.points) + 2 * 400
    assert np.isclose(filled_area(rings), rings.area, rtol=1e-12)


def test_dots_in_line_are_joined_one_to_the_next() -> None:
    # Level sides and equal heights: rays run along edges and through corners.
    squares = [box(2 * i, 2 * j, 2 * i + 1, 2 * j + 1) for i in range(16) for j in range(16)]
    rings = outline(box(-1, -1, 33, 33).difference(MultiPolygon(squares)), "grid")
    assert np.isclose(filled_area(rings), rings.area, rtol=1e-12)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(0, 20), st.floats(0, 20), st.floats(0.1, 2.5), st.integers(1, 4)), min_size=1, max_size=40
    )
)
def test_cuts_change_nothing(dots: list[tuple[float, float, float, int]]) -> None:
    holes = shapely.union_all([Point(x, y).buffer(radius, quad_segs=segments) for x, y, radius, segments in dots])
    sheet = box(-1, -1, 21, 21).difference(holes)
    rings = outline(sheet, "sheet")
    with patch.object(filling, "MANY_RINGS", 0):
        assert np.isclose(filled_area(rings), rings.area, rtol=1e-12)
