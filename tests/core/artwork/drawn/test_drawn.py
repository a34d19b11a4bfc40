"""Shapes drawn elsewhere: their areas against closed formulas, and their sizes on paper."""

import math

import numpy as np
import pytest
import shapely
from stampwright import ArtworkError, Job
from stampwright.artwork.drawn import (
    Brushed,
    Faces,
    Filled,
    Line,
    bezier_curve,
    draw_artwork,
    extent_of,
    joined,
    polyline,
    rational_curve,
)
from stampwright.sets.drawing import draw_coloured
from stampwright.workshop import draw_for

from ...stages import laid_out

SQUARE = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])


def circle(radius: float, middle: tuple[float, float] = (0.0, 0.0)):
    """A circle of four cubic curves; it strays by 2.7e-4 of its radius (Goldapp 1991)."""
    points = radius * np.array([(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)])
    reach = 0.5522847498 * np.column_stack((-points[:, 1], points[:, 0]))
    return bezier_curve(points + middle, points - reach + middle, points + reach + middle, closed=True)


def test_a_filled_curve_has_its_area():
    artwork = draw_artwork([Filled(circle(20.0))])
    assert artwork.inked.area == pytest.approx(math.pi * 400, rel=1e-3)
    assert artwork.page_size == pytest.approx((40.0, 40.0), abs=0.02)
    assert artwork.inked.bounds[:2] == pytest.approx((0.0, 0.0))


def test_a_curve_inside_another_of_the_same_drawing_is_a_hole():
    ring = joined([circle(20.0), circle(10.0)])
    assert draw_artwork([Filled(ring)]).inked.area == pytest.approx(math.pi * 300, rel=1e-3)
    both = draw_artwork([Filled(circle(20.0)), Filled(circle(10.0))])
    assert both.inked.area == pytest.approx(math.pi * 400, rel=1e-3)


def test_straight_pieces_stay_within_the_tolerance_of_the_curve():
    for tolerance in (0.1, 0.01, 0.001):
        inked = draw_artwork([Filled(circle(20.0))], tolerance=tolerance).inked
        lost = math.pi * 400 - inked.area
        # A chord that strays by s leaves out two thirds of s times its length.
        assert -2.7e-4 * 20 * 126 < lost < tolerance * 126 * 2 / 3 + 1e-6


def test_an_open_line_is_as_wide_as_its_pen():
    artwork = draw_artwork([Line(polyline(np.array([(0.0, 0.0), (30.0, 0.0)]), closed=False), width=2.0)])
    assert artwork.inked.area == pytest.approx(60.0)
    assert artwork.page_size == pytest.approx((30.0, 2.0))


@pytest.mark.parametrize("size_by", ["fit", "width", "page"])
def test_a_line_with_its_width_on_paper_has_it_there(size_by):
    job = Job().with_values({"layout.size_by": size_by, "layout.width": 25.0})
    line = polyline(np.array([(0.0, 0.0), (900.0, 0.0), (900.0, 500.0)]), closed=False)
    artwork = draw_for(job, [Line(line, width=0.8, on_paper=True)])
    layout = laid_out(job, artwork)
    length = layout.scale * 1400.0
    assert layout.inked.area == pytest.approx(0.8 * length, rel=0.01)


def test_curves_are_as_fine_as_the_paper_needs_whatever_their_size():
    counts = [
        shapely.get_num_coordinates(draw_for(Job(), [Filled(circle(radius))]).inked) for radius in (0.002, 1.0, 2000.0)
    ]
    assert max(counts) - min(counts) <= 8
    assert 100 < counts[0] < 200


def test_a_rational_curve_makes_a_true_circle():
    # The circle as nine points of a quadratic with weights 1 and cos 45 degrees, Bézier by Bézier (Piegl and Tiller).
    corners = np.array([(1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]) * 20
    course = rational_curve(
        corners, np.array([1.0, math.sqrt(0.5), 1.0]), order=3, closed=False, clamped=True, tolerance=0.001
    )
    assert np.hypot(*course.corners[:, 3].T) == pytest.approx(np.full(len(course.corners), 20.0))
    assert course.corners[-1, 3] == pytest.approx((0.0, 20.0))


def test_a_closed_cubic_spline_is_closed_and_smooth():
    course = rational_curve(SQUARE, np.ones(4), order=4, closed=True, clamped=False, tolerance=0.001)
    # Each knot of a uniform cubic spline lies at (1, 4, 1) / 6 of three neighbouring points (de Boor).
    knots = (np.roll(SQUARE, 1, axis=0) + 4 * SQUARE + np.roll(SQUARE, -1, axis=0)) / 6
    distances = np.hypot(*(course.corners[:, 3, None] - knots).transpose(2, 0, 1)).min(axis=0)
    assert distances == pytest.approx(np.zeros(4), abs=1e-9)
    assert course.closed.all()


def test_bezier_pieces_of_order_three_make_a_true_circle():
    # As Blender's NURBS circle comes: corners of a square between its middles, with the cosine of 45 degrees as weight.
    corners = np.array([(0, -1), (-1, -1), (-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1)], dtype=float)
    weights = np.tile([1.0, math.sqrt(0.5)], 4)
    course = rational_curve(corners, weights, order=3, closed=True, clamped=True, pieced=True, tolerance=1e-6)
    assert np.hypot(*course.corners[:, 3].T) == pytest.approx(np.ones(len(course.corners)))
    assert shapely.Polygon(course.corners[1:, 3]).area == pytest.approx(math.pi, rel=1e-4)


def test_points_that_make_no_whole_bezier_pieces_are_joined_straight():
    course = rational_curve(SQUARE, np.ones(4), order=4, closed=True, clamped=False, pieced=True, tolerance=0.001)
    assert len(course.corners) == 5


def test_a_brush_of_changing_radius_covers_its_discs_and_what_lies_between():
    brushed = Brushed(np.array([(0.0, 0.0), (10.0, 0.0)]), np.array([3.0, 1.0]))
    area = draw_artwork([brushed], tolerance=0.0005).inked.area
    hull = shapely.union_all([shapely.Point(0, 0).buffer(3, 256), shapely.Point(10, 0).buffer(1, 256)]).convex_hull
    assert area == pytest.approx(hull.area, rel=1e-3)


def test_a_body_shows_its_silhouette():
    front = np.array([[(0.0, 0.0), (4.0, 0.0), (0.0, 4.0)], [(0.0, 0.0), (0.0, 4.0), (4.0, 0.0)]])
    edge_on = np.array([[(0.0, 0.0), (4.0, 0.0), (2.0, 0.0)]])
    artwork = draw_artwork([Faces(np.concatenate((front, edge_on)))])
    assert artwork.inked.area == pytest.approx(8.0)


def test_extent_leaves_out_pens_set_on_paper():
    line = polyline(np.array([(0.0, 0.0), (30.0, 0.0)]), closed=False)
    assert extent_of([Line(line, width=2.0)]) == pytest.approx((32.0, 2.0))
    assert extent_of([Line(line, width=2.0, on_paper=True)]) == pytest.approx((30.0, 0.0))


@pytest.mark.parametrize(
    ("shapes", "about"),
    [
        ([], "nothing drawn"),
        ([Filled(polyline(SQUARE, closed=False))], "no ink"),
        ([Filled(polyline(SQUARE * 0, closed=True))], "no size"),
        ([Filled(polyline(SQUARE * math.nan, closed=True))], "nowhere"),
        ([Filled(polyline(SQUARE, closed=True)), Faces(np.full((1, 3, 2), math.nan))], "nowhere"),
    ],
)
def test_a_drawing_without_ink_is_refused_in_one_line(shapes, about):
    with pytest.raises(ArtworkError, match=about):
        draw_for(Job(), shapes)


@pytest.mark.parametrize("width", [0.3, 3.0, 10.0])
@pytest.mark.parametrize("size_by", ["fit", "width", "height"])
def test_a_broad_pen_keeps_its_width_on_paper_too(size_by, width):
    job = Job().with_values({"layout.size_by": size_by, "layout.width": 38.0, "layout.height": 30.0})
    line = polyline(np.array([(0.0, 0.0), (900.0, 0.0), (900.0, 700.0)]), closed=False)
    layout = laid_out(job, draw_for(job, [Line(line, width=width, on_paper=True)]))
    left, bottom, right, _ = layout.inked.bounds
    foot = layout.inked.intersection(shapely.box(left, bottom, left + (right - left) / 4, bottom + 3 * width))
    assert foot.bounds[3] - foot.bounds[1] == pytest.approx(width, abs=max(0.001 * width, 0.001))


@pytest.mark.parametrize("side", [30.0, 200.0])
def test_curves_are_fine_enough_for_the_size_of_a_custom_base(side):
    half = side / 2
    corners = ((-half, -half), (half, -half), (half, half), (-half, half))
    job = Job().with_values({"base.outline": "custom", "base.points": corners})
    layout = laid_out(job, draw_for(job, [Filled(circle(1.0))]))
    (disc,) = layout.inked.geoms
    corners = shapely.get_coordinates(disc.exterior)
    left, bottom, right, top = disc.bounds
    middles = (corners[1:] + corners[:-1]) / 2 - ((left + right) / 2, (bottom + top) / 2)
    radius = (right - left) / 2
    assert radius > 0.4 * side
    assert radius - np.hypot(*middles.T).min() < 0.0052


def disc_of(radius: float, middle: tuple[float, float] = (0.0, 0.0), **about):
    return Filled(circle(radius, middle), **about)


def test_what_is_white_takes_the_ink_that_it_lies_over_and_none_that_lies_over_it():
    dark, white = disc_of(20.0, paint="Black"), disc_of(10.0, paint="White", paper=True)
    cut = draw_artwork([dark, white, disc_of(5.0, paint="Black")])
    assert cut.inked.area == pytest.approx(math.pi * (400 - 100 + 25), rel=1e-3)
    (told,) = cut.findings
    assert (told.kind, told.severity) == ("white is paper", "notes")
    assert "material White" in told.message
    # All of what it takes, of the two discs together: the smaller lies on the larger.
    assert told.measured == pytest.approx((100 - 25) / 400, rel=1e-2)


def test_a_white_page_under_the_art_is_its_paper():
    page = Filled(polyline(4 * SQUARE - 20.0, closed=True), paint="White", paper=True)
    art = draw_artwork([page, disc_of(5.0)])
    assert art.inked.area == pytest.approx(math.pi * 25, rel=1e-3)
    assert art.page_size == pytest.approx((10.0, 10.0), abs=0.02)
    assert extent_of([page, disc_of(5.0)]) == pytest.approx((10.0, 10.0), abs=0.02)
    assert art.findings == ()


def test_what_is_white_beside_the_ink_does_not_print_and_says_so():
    art = draw_artwork([disc_of(5.0), disc_of(5.0, (20.0, 0.0), paper=True)])
    assert len(art.inked.geoms) == 1
    (told,) = art.findings
    assert (told.kind, told.severity) == ("white is paper", "warns")


def test_art_that_is_white_all_over_prints():
    art = draw_artwork([disc_of(5.0, paper=True), disc_of(5.0, (20.0, 0.0), paper=True)])
    assert art.inked.area == pytest.approx(2 * math.pi * 25, rel=1e-3)
    assert art.findings == ()


def test_an_edge_that_is_drawn_twice_leaves_nothing_of_the_ink_under_the_white():
    turned = np.array([[math.cos(0.3), -math.sin(0.3)], [math.sin(0.3), math.cos(0.3)]])
    square = polyline(SQUARE @ turned, closed=True)
    nearly = polyline((SQUARE + 1e-5) @ turned, closed=True)
    art = draw_artwork([disc_of(3.0, (40.0, 0.0)), Filled(square), Filled(nearly, paper=True)])
    assert len(art.inked.geoms) == 1


def test_a_set_of_inks_leaves_open_what_shows_paper():
    shapes = [disc_of(30.0, paint="Ink"), disc_of(10.0, paint="Ink", paper=True)]
    assert draw_coloured(Job(), shapes, {"Ink": "#202020"}).whole.inked.area == pytest.approx(800 * math.pi, rel=1e-3)


def test_art_that_lies_under_a_white_page_is_refused_with_what_to_do():
    with pytest.raises(ArtworkError, match="lies under what is as white as paper"):
        draw_artwork([disc_of(5.0), disc_of(9.0, paper=True)])
