"""Strokes cover the area that SVG 2, section 13.5, gives them; the figures are worked out by hand."""

import math

import pytest
import shapely

LINE = '<path d="M20 50H40" fill="none" stroke="#000" stroke-width="4" {}/>'
CORNER = '<path d="M20 50H40V65" fill="none" stroke="#000" stroke-width="4" {}/>'


@pytest.mark.parametrize(("cap", "area"), [("butt", 80), ("round", 80 + 4 * math.pi), ("square", 96)])
def test_caps_cover_what_the_standard_says(draw, cap, area):
    assert draw(LINE.format(f'stroke-linecap="{cap}"')).inked.area == pytest.approx(area, rel=2e-3)


@pytest.mark.parametrize(("join", "area"), [("miter", 140), ("bevel", 138), ("round", 138 - 2 + 4 * math.pi / 4)])
def test_joins_cover_what_the_standard_says(draw, join, area):
    # Two bars of 80 and 60 share a square of 2 x 2 at the corner's inside; the outside quarter is the join's.
    assert draw(CORNER.format(f'stroke-linejoin="{join}"')).inked.area == pytest.approx(area, rel=1e-3)


@pytest.mark.parametrize(("limit", "switch"), [(4, 28.9550), (10, 11.4783)])
def test_miter_turns_into_bevel_exactly_at_the_limit(draw, limit, switch):
    """Miter length over width is 1 / sin(angle / 2) (SVG 2, section 13.5.5)."""

    def reach(angle):
        x, y = 20 * math.cos(math.radians(angle)), 20 * math.sin(math.radians(angle))
        body = f'<path d="M70 50H50L{50 + x} {50 + y}" fill="none" stroke="#000" stroke-miterlimit="{limit}"/>'
        points = shapely.get_coordinates(draw(body).inked)
        return max(math.dist(point, (50, 50)) for point in points if point[0] < 50)

    assert reach(switch + 0.01) == pytest.approx(limit / 2, rel=1e-3)
    assert reach(switch - 0.01) == pytest.approx(0.5, rel=1e-3)


def test_miter_clip_cuts_the_miter_off_at_the_limit(draw):
    body = '<path d="M70 50H50L70 52" fill="none" stroke="#000" stroke-linejoin="miter-clip" stroke-miterlimit="6"/>'
    tip = min(x for x, _ in shapely.get_coordinates(draw(body).inked))
    # Half the limit times the width is 3, along the bisector, which leans by half of atan(2 / 20).
    assert 50 - tip == pytest.approx(3 * math.cos(math.atan(0.1) / 2), abs=0.03)


def test_closed_outline_is_joined_where_it_closes(draw):
    square = '<path d="M20 20h40v40h-40{}" fill="none" stroke="#000" stroke-width="4"/>'
    assert draw(square.format("z")).inked.area == pytest.approx(44**2 - 36**2, rel=1e-9)
    assert draw(square.format("v-40")).inked.area == pytest.approx(44**2 - 36**2 - 4, rel=1e-9)


@pytest.mark.parametrize("data", ["M50 50z", "M50 50h0", "M50 50l0 0z"])
@pytest.mark.parametrize(("cap", "area"), [("round", 4 * math.pi), ("square", 16)])
def test_subpath_of_no_length_leaves_its_caps(draw, data, cap, area):
    """SVG 2, section 13.5.4."""
    body = f'<path d="{data}" stroke="#000" stroke-width="4" stroke-linecap="{cap}"/>'
    assert draw(body).inked.area == pytest.approx(area, rel=3e-3)


def test_moveto_alone_is_never_stroked(draw):
    body = '<path d="M50 50 M20 20" stroke="#000" stroke-width="4" stroke-linecap="round"/><path d="M1 1h2v2z"/>'
    assert draw(body).inked.area == pytest.approx(2)


def test_circle_narrower_than_its_stroke_has_no_hole(draw):
    body = '<circle cx="50" cy="50" r="5" fill="none" stroke="#000" stroke-width="{}"/>'
    ring = draw(body.format(4)).inked
    assert ring.area == pytest.approx(math.pi * (7**2 - 3**2), rel=1e-3)
    blot = draw(body.format(14)).inked
    assert blot.area == pytest.approx(math.pi * 12**2, rel=1e-3)


def test_stroke_that_crosses_itself_covers_the_crossing_once(draw):
    body = '<path d="M30 30L70 70M70 30L30 70" fill="none" stroke="#000" stroke-width="4"/>'
    length = 40 * math.sqrt(2)
    assert draw(body).inked.area == pytest.approx(2 * 4 * length - 16, rel=1e-9)


def test_dashes_restart_from_the_offset(draw):
    body = '<path d="M10 50H90" stroke="#000" stroke-width="2" stroke-dasharray="{}" stroke-dashoffset="{}"/>'
    parts = draw(body.format("10 5", 0)).inked.geoms
    assert sorted(round(part.area, 6) for part in parts) == [10, 20, 20, 20, 20, 20]
    first = min(draw(body.format("10 5", 4)).inked.geoms, key=lambda part: part.bounds[0])
    assert first.bounds[0] == pytest.approx(10)
    assert first.area == pytest.approx(12)
    # An odd count is repeated to make it even (SVG 2, section 13.5.6).
    lengths = sorted(round(part.area / 2, 6) for part in draw(body.format("10 5 20", 0)).inked.geoms)
    assert lengths == [5, 10, 10, 20]


@pytest.mark.parametrize("cap", ["butt", "square", "round"])
def test_a_pattern_that_ends_with_the_line_leaves_no_dash_of_rounding_errors(draw, cap):
    """Twenty periods of 1.9 on 38: the sum of them comes out a hair short."""
    body = f'<path d="M4 14.8h38" stroke="#000" stroke-width="0.3" stroke-linecap="{cap}" stroke-dasharray="{{}}"/>'
    for short in (0.0, 1e-15, 2e-16):
        parts = draw(body.format(f"{1.2 + short!r} {0.7 - short!r}")).inked.geoms
        assert len(parts) == 20
        assert draw(body.format(f"{0.4 + 0.1 * 8} 0.7")).inked.area == pytest.approx(sum(part.area for part in parts))


def test_path_length_scales_the_dashes(draw):
    body = '<path d="M10 50H90" pathLength="8" stroke="#000" stroke-width="2" stroke-dasharray="1"/>'
    assert [round(part.area, 6) for part in draw(body).inked.geoms] == [20, 20, 20, 20]


def test_stroke_width_lives_in_user_units(draw):
    body = '<line x1="10" y1="10" x2="20" y2="10" stroke="#000" stroke-width="2" transform="scale(1 3)"/>'
    assert draw(body).inked.area == pytest.approx(10 * 6)
    # In px of the page then, whatever the scale (SVG 2, section 8.13).
    fixed = draw(body.replace("/>", ' vector-effect="non-scaling-stroke"/>')).inked
    assert fixed.area == pytest.approx(10 * 2 * 25.4 / 96)
