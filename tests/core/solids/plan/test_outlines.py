"""Outlines stay where they were drawn, to the grid, and never touch."""

import numpy as np
import pytest
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.errors import SolidError
from stampwright.solids.plan.outlines import BRIDGE, GRID, are_apart, outline


def test_points_are_exact_in_32_bit_floats() -> None:
    points = outline(Point(12.3, -45.6).buffer(7.7), "disc").points
    assert (points.astype(np.float32).astype(np.float64) == points).all()
    assert (points / GRID == np.rint(points / GRID)).all()


def test_straight_and_repeated_points_are_dropped() -> None:
    square = Polygon([(0, 0), (1, 0), (1, 0), (2, 0), (2, 1), (2, 2), (0, 2)])
    assert len(outline(square, "square").points) == 4
    assert len(outline(square, "square", keep_straight=True).points) == 6


def test_outer_rings_run_counter_clockwise_and_holes_clockwise() -> None:
    ring = Point(0, 0).buffer(2).difference(Point(0, 0).buffer(1))
    areas = outline(ring, "ring").ring_areas()
    assert sorted(np.sign(areas)) == [-1, 1]
    assert areas.sum() == pytest.approx(ring.area, rel=1e-3)


def test_parts_that_touch_nothing_stay_as_they_are_beside_some_that_do() -> None:
    apart = Point(20, 3).buffer(2.5).difference(Point(20, 3).buffer(1))
    joined = outline(MultiPolygon([box(0, 0, 1, 1), box(1, 1, 2, 2), apart]), "art")
    rings = {ring.tobytes() for ring in joined.rings()}
    assert {ring.tobytes() for ring in outline(apart, "alone").rings()} <= rings
    assert len(rings) == 3


@pytest.mark.parametrize(
    "touching",
    [
        MultiPolygon([box(0, 0, 1, 1), box(1, 1, 2, 2)]),
        MultiPolygon([box(0, 0, 2, 1), Polygon([(1, 1), (2, 2), (0, 2)])]),
        Polygon([(0, 0), (4, 0), (4, 4), (0, 4)], [[(0, 0), (1, 2), (2, 1)]]),
        Polygon([(0, 0), (4, 0), (4, 4), (0, 4)], [[(1, 1), (1, 2), (2, 2)], [(2, 2), (3, 3), (3, 2)]]),
        # Apart as drawn, but not on the grid.
        MultiPolygon([box(0, 0, 1, 1), box(1 + 1e-5, 1 + 1e-5, 2, 2)]),
    ],
)
def test_parts_that_touch_in_a_point_are_bridged(touching: MultiPolygon | Polygon) -> None:
    bridged = outline(touching, "art")
    assert are_apart(bridged)
    assert abs(bridged.area - touching.area) < 2 * BRIDGE**2


def test_overlapping_parts_are_united() -> None:
    crossed = outline(MultiPolygon([box(0, 0, 2, 1), box(1, 0, 3, 1)]), "art")
    assert crossed.area == pytest.approx(3, rel=1e-6)
    assert len(crossed.starts) == 2


def test_edges_that_cross_only_on_the_grid_are_united() -> None:
    # A needle whose tip rounding carries across the edge of its neighbour, meeting it in no point of either.
    slanted = Polygon([(0, 0), (3, 0), (3.636962, 1.026979), (-0.1, 1.004097)])
    needle = Polygon([(2.852511, 1.022338), (4.752511, 1.822338), (4.552511, 2.022338)])
    assert are_apart(outline(MultiPolygon([slanted, needle]), "art"))


def test_divided_edges_keep_their_line() -> None:
    square = outline(box(0, 0, 2, 2), "square")
    divided = square.divided(np.array([0]), 0.5)
    assert (len(divided.points), divided.area) == (7, square.area)


@pytest.mark.parametrize("region", [Polygon(), MultiPolygon(), box(0, 0, 1e-5, 1)])
def test_nothing_is_refused_by_name(region: Polygon | MultiPolygon) -> None:
    with pytest.raises(SolidError, match="the base is empty"):
        outline(region, "the base")


def test_what_lies_too_far_out_is_refused() -> None:
    with pytest.raises(SolidError, match="beyond 2048 mm"):
        outline(box(0, 0, 1e300, 1), "the base")
