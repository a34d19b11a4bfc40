"""Ink is what an observer sees darker than half luminance on white paper."""

import pytest
from shapely.geometry import box

DARK = '<rect x="10" y="10" width="40" height="40" fill="#000"/>'


def test_white_over_dark_knocks_it_out_and_dark_over_white_comes_back(draw):
    body = DARK + '<rect x="20" y="20" width="20" height="20" fill="#fff"/>'
    assert draw(body).inked.area == pytest.approx(1600 - 400)
    assert draw(body + '<rect x="25" y="25" width="10" height="10"/>').inked.area == pytest.approx(1600 - 400 + 100)


def test_white_under_dark_changes_nothing(draw):
    assert draw('<rect width="100" height="100" fill="white"/>' + DARK).inked.area == pytest.approx(1600)


@pytest.mark.parametrize(
    ("paint", "seen"),
    [
        ("#7f7f7f", True),
        ("#808080", False),
        ("red", True),
        ("blue", True),
        ("lime", False),
        ("yellow", False),
        ("transparent", False),
        ("rgba(0,0,0,.49)", False),
        ("rgba(0,0,0,.51)", True),
    ],
)
def test_half_luminance_decides(draw, paint, seen):
    body = f'<rect x="50" y="50" width="30" height="30" fill="{paint}"/><path d="M0 0h1v1z"/>'
    assert (draw(body).inked.area > 10) == seen


def test_two_thin_layers_together_are_dark(draw):
    body = '<g fill-opacity=".4">' + DARK + '<rect x="30" y="30" width="40" height="40"/></g>'
    # 0.6 x 0.6 of the light is left where both lie, 0.6 elsewhere.
    assert draw(body).inked.symmetric_difference(box(30, 50, 50, 70)).area == pytest.approx(0, abs=1e-9)


def test_group_opacity_applies_to_the_group_as_a_whole(draw):
    body = '<g opacity=".4">' + DARK + '<rect x="30" y="30" width="40" height="40"/></g><path d="M0 0h1v1z"/>'
    assert draw(body).inked.area == pytest.approx(0.5)


def test_multiply_darkens(draw):
    body = (
        '<rect x="10" y="10" width="40" height="40" fill="#b0b0b0"/>'
        '<rect x="30" y="10" width="40" height="40" fill="#b0b0b0" style="mix-blend-mode:multiply"/>'
    )
    assert draw(body).inked.bounds == pytest.approx((30, 50, 50, 90))


def test_many_layers_of_dark_and_light_come_out_in_order(draw):
    rings = "".join(f'<circle cx="50" cy="50" r="{40 - k}" fill="{("black", "white")[k % 2]}"/>' for k in range(40))
    expected = sum((-1) ** k * 3.14159265 * (40 - k) ** 2 for k in range(40))
    assert draw(rings).inked.area == pytest.approx(expected, rel=2e-3)


def test_clip_path_shows_only_what_it_covers(draw):
    body = (
        '<clipPath id="c"><path clip-rule="evenodd" d="M0 0H60V60H0zM20 20H40V40H20z"/></clipPath>'
        '<g clip-path="url(#c)">' + DARK + "</g>"
    )
    assert draw(body).inked.area == pytest.approx(1600 - 400)


def test_clip_path_may_be_measured_in_the_clipped_box(draw):
    body = '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath>' + DARK.replace(
        "/>", ' clip-path="url(#c)"/>'
    )
    assert draw(body).inked.bounds == pytest.approx((10, 50, 30, 90))


def test_clip_paths_may_be_clipped_themselves(draw):
    body = (
        '<clipPath id="a"><rect x="30" y="0" width="60" height="100"/></clipPath>'
        '<clipPath id="b" clip-path="url(#a)"><rect x="0" y="30" width="100" height="60"/></clipPath>'
        + DARK.replace("/>", ' clip-path="url(#b)"/>')
    )
    assert draw(body).inked.bounds == pytest.approx((30, 50, 50, 70))


@pytest.mark.parametrize("kind", ["linearGradient", "radialGradient"])
def test_gradient_repeated_finer_than_print_is_seen_as_its_even_tone(draw, kind):
    gradient = (
        f'<{kind} id="g" x2="1e-6" r="1e-6" spreadMethod="repeat"><stop offset="0" stop-color="#333"/>'
        f'<stop offset="1" stop-color="{{}}"/></{kind}>'
        '<rect width="40" height="40" fill="url(#g)"/><path d="M60 60h9v9z"/>'
    )
    assert draw(gradient.format("#666")).inked.area == pytest.approx(1600 + 40.5)
    assert draw(gradient.format("#fff")).inked.area == pytest.approx(40.5)


def test_speck_of_a_drawing_that_lies_beside_the_page_is_drawn_no_finer_than_the_page_allows(draw):
    # Magnified from 0.01 mm to a stamp, all that lies beside the page would have millions of points.
    assert draw('<path d="M-50-50H.01V.01H-50z"/>').tolerance == pytest.approx(0.005 * 0.1 / 50)
