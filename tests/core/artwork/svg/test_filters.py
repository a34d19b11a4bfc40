"""Filters change what is seen as ink, by known amounts, and within limits."""

import pytest
from stampwright.artwork.svg import Limits, read_svg
from stampwright.errors import ArtworkError

PX_TO_MM = 25.4 / 96
HEAD = '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">'


def read(body, **given):
    return read_svg(f"{HEAD}{body}</svg>".encode(), **given)


def filtered(primitives, target='<rect x="30" y="30" width="40" height="40" filter="url(#f)"/>'):
    return read(f'<filter id="f" x="-1" y="-1" width="3" height="3">{primitives}</filter>{target}')


@pytest.mark.parametrize(
    ("primitives", "side"),
    [
        ('<feOffset dx="7" dy="-3"/>', 40),
        ('<feMorphology radius="5"/>', 30),
        ('<feMorphology operator="dilate" radius="5"/>', 50),
        ('<feFlood x="20" y="20" width="25" height="25"/>', 25),
    ],
    ids=["offset", "erode", "dilate", "flood"],
)
def test_ink_has_the_size_that_the_filter_makes(primitives, side):
    left, bottom, right, top = filtered(primitives).inked.bounds
    assert (right - left, top - bottom) == pytest.approx((side * PX_TO_MM,) * 2, abs=0.3 * PX_TO_MM)


def test_blurred_edge_stays_where_it_was():
    """A straight edge blurred by a Gaussian has half its tone just where it was."""
    inked = filtered('<feGaussianBlur stdDeviation="4"/>').inked
    assert inked.bounds == pytest.approx([side * PX_TO_MM for side in (30, 30, 70, 70)], abs=0.3 * PX_TO_MM)


def test_filter_that_cannot_be_followed_is_left_out_and_said():
    artwork = filtered("<feTurbulence/>")
    assert artwork.inked.area == pytest.approx(1600 * PX_TO_MM**2)
    assert [finding.kind for finding in artwork.findings] == ["filter left out"]


def test_filter_on_nothing_drawn_leaves_the_rest_as_it_is():
    nothing = '<g filter="url(#f)"><rect width="9" height="9" filter="url(#f)"/></g>'
    shown = read(f'<filter id="f"><feOffset dy="5"/></filter>{nothing}<path d="M2 60h20v30z"/>').inked
    assert shown.area == pytest.approx(300 * PX_TO_MM**2)
    emptied = read('<filter id="f"><feOffset dy="5"/></filter><g filter="url(#f)"><b/></g><path d="M2 60h20v30z"/>')
    assert emptied.inked.equals(shown)


def test_filters_are_limited():
    many = '<feOffset dx="1"/>' * 30
    with pytest.raises(ArtworkError, match=r"Limits\(most_filters=\.\.\.\)"):
        read(
            f'<filter id="f">{many}</filter><rect width="9" height="9" filter="url(#f)"/>',
            limits=Limits(most_filters=9),
        )
    with pytest.raises(ArtworkError, match="longest_filter"):
        filtered("<feMerge>" + "<feMergeNode/>" * 2000 + "</feMerge>")


@pytest.mark.parametrize("value", ["opacity(30%)", "brightness(1.2) opacity(.4)", "invert(90%)"])
def test_what_a_filter_leaves_too_light_is_told(value):
    artwork = read(f'<path d="M2 60h20v30z"/><rect width="20" height="20" style="filter:{value}"/>')
    assert artwork.inked.area == pytest.approx(300 * PX_TO_MM**2)
    (told,) = artwork.findings
    assert told.kind == "colour left out"
    assert "lighter than half" in told.message
    assert "<rect>" in told.message


def test_soft_edge_of_a_shadow_is_no_matter():
    style = "filter:drop-shadow(2px 2px 1px black)"
    assert read(f'<rect x="5" y="5" width="40" height="40" style="{style}"/>').findings == ()
