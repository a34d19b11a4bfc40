"""Text becomes outlines in the fonts at hand, placed where the drawing says."""

import base64
import io
import math

import numpy as np
import pytest
from PIL import Image
from shapely.geometry import Point, box

TEXT = '<text x="10" y="50" font-family="Noto Sans" font-size="20" {}>{}</text>'


def png_of(rows):
    stream = io.BytesIO()
    Image.fromarray(np.array(rows, dtype=np.uint8)).save(stream, "PNG")
    return "data:image/png;base64," + base64.b64encode(stream.getvalue()).decode()


def test_cap_height_and_stem_are_the_fonts_own(draw):
    """Noto Sans Regular: capital height 714 of 1000 units (its OS/2 table)."""
    bounds = draw(TEXT.format("", "H")).inked.bounds
    assert bounds[1] == pytest.approx(50, abs=0.01)
    assert bounds[3] - bounds[1] == pytest.approx(0.714 * 20, abs=0.02)


def test_font_that_is_not_at_hand_is_named_with_its_stand_in(draw):
    body = TEXT.format("", "Elm").replace("Noto Sans", "Mossgate Display")
    (finding,) = draw(body).findings
    assert finding.kind == "font substituted"
    assert "Mossgate Display" in finding.message
    assert "Noto Sans" in finding.message
    assert "<text> on line 1" in finding.message


def test_anchor_moves_text_by_its_advance(draw):
    start, middle, end = (
        draw(TEXT.replace('x="10"', 'x="60"').format(f'text-anchor="{anchor}"', "Oak")).inked.bounds[0]
        for anchor in ("start", "middle", "end")
    )
    assert start - middle == pytest.approx(middle - end, abs=1e-6)
    assert start - end > 20


def test_text_on_a_path_stands_on_it(draw):
    body = (
        '<path id="k" d="M10 60A40 40 0 0 1 90 60" fill="none"/><text font-family="Noto Sans" font-size="12" '
        'text-anchor="middle"><textPath href="#k" startOffset="50%">HHHHHHH</textPath></text>'
    )
    inked = draw(body).inked
    distances = [math.dist((50, 40), (x, y)) for part in inked.geoms for x, y in part.exterior.coords]
    # A letter is straight, so the middle of its foot lies a little outside the circle that its ends would touch.
    assert min(distances) == pytest.approx(40, abs=0.05)
    assert max(distances) < 40 + 0.714 * 12 + 0.8
    left, _, right, _ = inked.bounds
    assert (left + right) / 2 == pytest.approx(50, abs=0.2)


def test_mirrored_text_is_asked_about(draw):
    body = TEXT.format('transform="matrix(-1 0 0 1 100 0)"', "Elm")
    assert [finding.kind for finding in draw(body).findings] == ["already reversed"]


def test_text_in_a_clip_path_shows_what_lies_under_it(draw):
    body = f'<clipPath id="c">{TEXT.format("", "H")}</clipPath><rect width="100" height="100" clip-path="url(#c)"/>'
    assert draw(body).inked.area == pytest.approx(draw(TEXT.format("", "H")).inked.area, rel=1e-6)


def test_embedded_drawing_and_bitmap_are_read(draw):
    inner = (
        "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 10 10'%3E"
        "%3Crect width='5' height='10'/%3E%3C/svg%3E"
    )
    body = f'<image x="10" y="10" width="40" height="40" href="{inner}"/>'
    assert draw(body).inked.equals(box(10, 50, 30, 90))
    # One dark pixel beside a white one, 2 by 1.
    pixels = png_of([[0, 255]])
    artwork = draw(f'<image x="10" y="10" width="40" height="20" href="{pixels}"/>')
    assert artwork.inked.contains(Point(15, 80))
    assert not artwork.inked.contains(Point(45, 80))


def test_image_outside_the_file_is_never_read(draw, tmp_path):
    secret = tmp_path / "secret.png"
    secret.write_bytes(b"not to be opened")
    secret.chmod(0)
    artwork = draw(f'<image width="40" height="20" href="{secret.as_uri()}"/><path d="M0 0h9v9z"/>')
    assert [finding.kind for finding in artwork.findings] == ["external reference"]


@pytest.mark.parametrize("attribute", ['x="30"', 'y="30"', 'dx="8"', 'dy="8"'])
def test_path_alone_says_where_its_text_runs(draw, attribute):
    whole = (
        '<path id="p" d="M10 60Q50 10 90 60" fill="none"/>'
        '<text font-family="Noto Sans" font-size="20"><textPath href="#p" {}>Elm</textPath></text>'
    )
    plain, moved = (draw(whole.format(given)).inked for given in ("", attribute))
    assert plain.symmetric_difference(moved).area == 0


def test_text_path_may_hold_its_own_line(draw):
    # SVG 2, section 11.8.1: what it holds itself goes before what it refers to.
    whole = '{}<text font-family="Noto Sans" font-size="20"><textPath {} startOffset="9">Elm</textPath></text>'
    line = "M10 60Q50 10 90 60"
    referred = draw(whole.format(f'<path id="p" d="{line}" fill="none"/>', 'href="#p"')).inked
    held = draw(whole.format('<path id="p" d="M0 0H90" fill="none"/>', f'href="#p" path="{line}"')).inked
    assert held.area > 0
    assert held.symmetric_difference(referred).area == 0
