"""Sizes, units and viewports of the page."""

import pytest
from shapely.geometry import box
from stampwright.artwork.svg import read_svg
from stampwright.artwork.svg.placing.viewports import fitting
from stampwright.artwork.svg.styling.values import length

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" '


@pytest.mark.parametrize(
    ("text", "px"),
    # CSS Values and Units 4, section 6.2.
    [("1in", 96), ("25.4mm", 96), ("2.54cm", 96), ("72pt", 96), ("6pc", 96), ("101.6Q", 96), ("96", 96), ("96px", 96)],
)
def test_physical_units_are_96_px_to_the_inch(text, px):
    assert length(text) == pytest.approx(px)


@pytest.mark.parametrize(
    ("attributes", "size"),
    [
        ('width="210mm" height="297mm"', (210, 297)),
        ('viewBox="0 0 96 48"', (25.4, 12.7)),
        ('width="50mm" viewBox="0 0 10 20"', (50, 100)),
        ('height="50mm" viewBox="0 0 10 20"', (25, 50)),
        ('width="100%" height="100%" viewBox="0 0 96 96"', (25.4, 25.4)),
    ],
)
def test_page_has_the_size_that_the_file_states(attributes, size):
    artwork = read_svg(f'{HEAD}{attributes}><rect width="9" height="9"/></svg>'.encode())
    assert artwork.page_size == pytest.approx(size)


@pytest.mark.parametrize(
    ("box", "aspect", "room", "scale", "moved"),
    # SVG 2, sections 8.6 and 8.7; worked by hand.
    [
        ((0, 0, 1500, 1000), None, (300, 200), 0.2, (0, 0)),
        ((0, 0, 24, 24), "xMidYMid meet", (40, 20), 20 / 24, (10, 0)),
        ((0, 0, 24, 24), "xMidYMid slice", (40, 20), 40 / 24, (0, -10)),
        ((0, 0, 24, 24), "xMinYMax", (20, 40), 20 / 24, (0, 20)),
    ],
)
def test_view_box_fits_as_the_standard_says(box, aspect, room, scale, moved):
    matrix = fitting(box, aspect, *room)
    assert matrix == pytest.approx((scale, 0, 0, scale, *moved))


def test_origin_is_the_lower_left_corner_of_the_page(draw):
    inked = draw('<rect x="10" y="20" width="30" height="5"/>', width=100, height=60).inked
    assert inked.bounds == pytest.approx((10, 35, 40, 40))


def test_ink_beyond_the_page_is_left_out_and_said(draw):
    artwork = draw('<rect x="90" y="0" width="20" height="10"/>')
    assert artwork.inked.area == pytest.approx(100)
    assert [finding.kind for finding in artwork.findings] == ["beyond the page"]


def test_curves_keep_the_tolerance_when_the_ink_is_enlarged(draw):
    artwork = draw('<circle cx="50" cy="50" r="1"/>')
    enlarged = artwork.inked.exterior if hasattr(artwork.inked, "exterior") else artwork.inked.geoms[0].exterior
    middle_of_chords = [
        ((x0 + x1) / 2 - 50, (y0 + y1) / 2 - 50)
        for (x0, y0), (x1, y1) in zip(list(enlarged.coords)[:-1], list(enlarged.coords)[1:], strict=True)
    ]
    stray = max(1 - (x * x + y * y) ** 0.5 for x, y in middle_of_chords)
    # 2 mm of ink enlarged to 50 mm: 25 times.
    assert stray * 25 <= 0.005
    assert artwork.tolerance * 25 == pytest.approx(0.005, rel=0.01)


def test_nested_svg_clips_to_its_own_viewport_unless_told_otherwise(draw):
    body = '<svg x="10" y="10" width="20" height="20" viewBox="0 0 10 10" {}><circle r="5"/></svg>'
    assert draw(body.format("")).inked.within(box(10, 70, 30, 90).buffer(1e-9))
    assert draw(body.format('overflow="visible"')).inked.bounds == pytest.approx((0, 80, 20, 100), abs=1e-6)


def test_a_page_as_large_as_its_drawing_gives_lengths_in_shares_of_it():
    # What is measured by the page are plain numbers, as the libraries below take them.
    body = '<text font-size="10" y="10"{}>AV</text><path d="M0 0h80v80z"/>'
    inks = [
        read_svg(f'<svg xmlns="http://www.w3.org/2000/svg">{body.format(kerning)}</svg>'.encode()).inked.area
        for kerning in ("", ' kerning="5vw"', ' kerning="0vw"')
    ]
    assert inks[0] == pytest.approx(inks[1], abs=1e-9)
