"""Promises of the width measurement: exact on shapes whose width is known, silent on corners, sound on anything."""

import math

import numpy as np
import pytest
import shapely
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from stampwright.preflight import measure_gap_widths, measure_line_widths, narrowest_width
from stampwright.preflight.widths.facing import WIDEST_TAPER

TURNS = [0.0, 17.0, 45.0, 90.0, 201.3]


def wedge(angle, length=20.0):
    half = length * math.tan(math.radians(angle) / 2)
    return Polygon([(0, 0), (length, -half), (length, half)])


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("width", [0.05, 0.3, 0.79])
def test_bar_is_measured_exactly_over_its_length(width, turn):
    lines = measure_line_widths(affinity.rotate(box(0, 0, 10, width), turn), below=0.8)
    assert lines.narrowest.min() == pytest.approx(width, abs=1e-6)
    assert max(lines.start_widths.max(), lines.end_widths.max()) == pytest.approx(width, abs=1e-6)
    # A disc of the bar's width goes from half a width inside one end to half a width inside the other.
    assert lines.lengths.sum() == pytest.approx(10 - width, abs=0.03)


@pytest.mark.parametrize("quarter", [32, 200])
def test_ring_is_measured_within_a_hundredth(quarter):
    ring = Point(3, 4).buffer(20, quad_segs=quarter).difference(Point(3, 4).buffer(19.7, quad_segs=quarter))
    lines = measure_line_widths(ring, below=0.8)
    # The chords of 32 pieces per quarter lie up to 0.006 mm inside the circle, those of 200 hardly.
    assert lines.narrowest.min() == pytest.approx(0.3, abs=0.01)
    assert lines.lengths.sum() == pytest.approx(2 * math.pi * 19.85, rel=0.02)


@pytest.mark.parametrize("turn", TURNS)
def test_tapered_bar_is_measured_from_end_to_end(turn):
    bar = affinity.rotate(Polygon([(0, -0.5), (10, -0.15), (10, 0.15), (0, 0.5)]), turn, origin=(0, 0))
    lines = measure_line_widths(bar, below=0.8)
    # The smallest disc that touches both long sides and the 0.3 mm end: its centre lies its radius inside the end.
    slope = 0.35 / 10
    radius = 0.15 / (math.sqrt(1 + slope**2) - slope)
    assert lines.narrowest.min() == pytest.approx(2 * radius, abs=0.01)


def test_taper_widens_as_its_angle_says():
    lines = measure_line_widths(wedge(10.0), below=0.8)
    distances = np.hypot(*lines.ends.T)
    assert lines.end_widths == pytest.approx(2 * distances * math.sin(math.radians(5.0)), abs=1e-9)


@pytest.mark.parametrize(
    "shape",
    [
        box(0, 0, 5, 5),
        wedge(60.0),
        wedge(WIDEST_TAPER + 0.5),
        Point(0, 0).buffer(3, quad_segs=1),
        Polygon(
            [
                (math.cos(i * 0.62831853) * r, math.sin(i * 0.62831853) * r)
                for i in range(10)
                for r in [9 - 5.6 * (i % 2)]
            ]
        ),
    ],
)
def test_corners_are_no_thin_lines(shape):
    assert narrowest_width(shape, below=0.8) is None


def test_taper_sharper_than_the_rule_is_a_thin_line():
    assert narrowest_width(wedge(WIDEST_TAPER - 0.5), below=0.8) == pytest.approx(0.0, abs=1e-9)


def test_throat_between_inward_corners_is_their_distance():
    hourglass = Polygon([(-2, -2), (0, -0.17), (2, -2), (2, 2), (0, 0.17), (-2, 2)])
    assert narrowest_width(hourglass, below=0.8) == pytest.approx(0.34, abs=1e-9)


def test_throat_between_an_inward_corner_and_an_edge_is_their_distance():
    notched = box(0, 0, 10, 2).difference(Polygon([(4, 2.1), (5, 0.25), (6, 2.1)]))
    assert narrowest_width(notched, below=0.8) == pytest.approx(0.25, abs=1e-9)


def test_crossing_lines_are_as_wide_as_the_thinner():
    cross = shapely.union_all([box(-5, -0.25, 5, 0.25), affinity.rotate(box(-5, -0.3, 5, 0.3), 60, origin=(0, 0))])
    assert narrowest_width(cross, below=0.8) == pytest.approx(0.5, abs=1e-6)


def test_what_lies_between_two_edges_keeps_them_from_facing():
    # Three bars of 0.3 mm, 0.2 mm apart: outer edges 1.3 mm apart face each other only across paper.
    bars = MultiPolygon([box(0, i * 0.5, 10, i * 0.5 + 0.3) for i in range(3)])
    lines = measure_line_widths(bars, below=1.5)
    assert set(np.round(np.concatenate([lines.start_widths, lines.end_widths]), 6)) == {0.3}


@pytest.mark.parametrize("turn", TURNS)
def test_gap_is_measured_exactly(turn):
    pair = affinity.rotate(MultiPolygon([box(0, 0, 10, 1), box(0, 1.15, 10, 2)]), turn)
    gaps = measure_gap_widths(pair, below=0.2)
    assert gaps.narrowest.min() == pytest.approx(0.15, abs=1e-6)
    assert gaps.lengths.sum() == pytest.approx(10.0, abs=0.05)


def test_gap_inside_a_counter_is_measured():
    slit = box(0, 0, 10, 10).difference(box(2, 2, 2.12, 8))
    assert measure_gap_widths(slit, below=0.2).narrowest.min() == pytest.approx(0.12, abs=1e-6)


def test_paper_is_no_ink_and_ink_no_paper():
    bar = box(0, 0, 10, 0.3)
    assert len(measure_gap_widths(bar, below=0.8)) == 0
    assert len(measure_line_widths(box(-5, -5, 15, 5).difference(bar), below=0.8)) == 0


def test_nearness_restricts_what_is_measured():
    bars = MultiPolygon([box(0, 0, 10, 0.3), box(0, 50, 10, 50.3)])
    lines = measure_line_widths(bars, below=0.8, near=np.array([[0.0, 49.0, 10.0, 51.0]]))
    assert lines.starts[:, 1].min() > 49.0
    assert lines.lengths.sum() == pytest.approx(9.7, abs=0.03)


@pytest.mark.parametrize("points_per_mm", [5, 1000])
def test_width_does_not_depend_on_how_finely_the_outline_is_drawn(points_per_mm):
    steps = np.linspace(0, 10, int(10 * points_per_mm))
    below, above = np.column_stack([steps, 0.1 * np.sin(steps)]), np.column_stack([steps, 0.5 + 0.1 * np.sin(steps)])
    ribbon = Polygon(np.concatenate([below, above[::-1]]))
    # A ribbon of constant height is thinnest where it is steepest: 0.5 cos(atan(0.1)).
    assert narrowest_width(ribbon, below=0.8) == pytest.approx(0.5 * math.cos(math.atan(0.1)), abs=0.01)


def test_cut_pieces_end_at_the_limit():
    lines = measure_line_widths(wedge(10.0), below=0.8)
    low, high = lines.below(0.4), lines.above(0.4)
    assert low.end_widths.max() == pytest.approx(0.4) == high.narrowest.min()
    assert low.lengths.sum() + high.lengths.sum() == pytest.approx(lines.lengths.sum())


@pytest.mark.parametrize(
    "shape",
    [
        MultiPolygon(),
        box(0, 0, 10, 1e-6),
        box(0, 0, 1e-7, 1e-7),
        Polygon([(0, 0), (1e-9, 0), (10, 10)]),
        MultiPolygon([box(0, 0, 1, 1), box(1, 1, 2, 2)]),
        Polygon([(0, 0), (4, 0), (4, 4), (0, 4)], [[(2, 0), (3, 1), (2, 2), (1, 1)]]),
        LineString([(0, 0), (9000, 9000)]).buffer(0.3),
    ],
)
def test_odd_shapes_are_measured_without_complaint(shape):
    lines, gaps = measure_line_widths(shape, below=0.8), measure_gap_widths(shape, below=0.2)
    assert np.isfinite(lines.starts).all()
    assert np.isfinite(gaps.starts).all()
