"""Tones of a drawing are cut in two, or screened when a job asks for it; what is black stays as it was drawn."""

import numpy as np
import pytest
import shapely
from stampwright.artwork.svg import read_svg
from stampwright.cli import main
from stampwright.job.sections.tracing import TracingSection

DOTS = TracingSection(tone="dots", screen_spacing=2.4)
LINES = TracingSection(tone="lines", screen_spacing=2.4)


def drawing(body, side=60):
    size = f'width="{side}mm" height="{side}mm" viewBox="0 0 {side} {side}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{body}</svg>'


def cover(inked, left, bottom, right, top):
    field = shapely.box(left, bottom, right, top)
    return shapely.intersection(inked, field).area / field.area


@pytest.mark.parametrize("tracing", [DOTS, LINES], ids=["dots", "lines"])
@pytest.mark.parametrize(
    "paint",
    ['fill="#aaa"', 'fill="#000" fill-opacity=".3333"', 'opacity=".3333"', 'fill="#555" opacity=".5"'],
    ids=["grey", "fill opacity", "opacity", "both"],
)
def test_even_tone_becomes_its_share_of_ink(tracing, paint):
    inked = read_svg(drawing(f'<rect x="5" y="5" width="50" height="50" {paint}/>').encode(), tracing=tracing).inked
    assert cover(inked, 12, 12, 48, 48) == pytest.approx(1 / 3, abs=0.06)


def test_gradient_is_screened_from_dark_to_light():
    body = '<linearGradient id="g"><stop/><stop offset="1" stop-color="#fff"/></linearGradient>'
    body += '<rect x="2" y="2" width="56" height="56" fill="url(#g)"/>'
    inked = read_svg(drawing(body).encode(), tracing=DOTS).inked
    shares = [cover(inked, x, 8, x + 9.6, 52) for x in (3, 14, 25, 36, 46)]
    assert np.all(np.diff(shares) < 0)
    assert shares[0] > 0.8
    assert shares[-1] < 0.2


def test_what_is_black_stays_as_drawn():
    body = '<text x="4" y="20" font-family="Noto Sans" font-size="14">Elm</text>'
    body += '<circle cx="30" cy="42" r="12" fill="#999"/>'
    crisp = read_svg(drawing(body.replace("#999", "#fff")).encode()).inked
    toned = read_svg(drawing(body).encode(), tracing=DOTS)
    upper = shapely.intersection(toned.inked, shapely.box(0, 32, 60, 60))
    assert upper.symmetric_difference(crisp).area < 0.01 * crisp.area
    assert "screened tones" in [finding.kind for finding in toned.findings]
    assert len(toned.inked.geoms) > len(crisp.geoms) + 10


def test_dots_are_no_smaller_than_the_least():
    body = '<rect x="5" y="5" width="50" height="50" fill="#ddd"/>'
    inked = read_svg(drawing(body).encode(), tracing=DOTS).inked
    widths = 2 * np.sqrt(shapely.area(shapely.get_parts(inked)) / np.pi)
    assert widths.min() > 0.95 * DOTS.smallest_dot


def test_line_art_is_the_same_with_and_without_a_screen():
    text = drawing('<path stroke="#000" stroke-width="3" fill="none" d="M5 5C50 5 5 55 55 55"/>').encode()
    assert read_svg(text, tracing=DOTS).inked.symmetric_difference(read_svg(text).inked).area < 1e-6


def test_job_and_command_line_ask_for_the_screen(tmp_path, capsys):
    path = tmp_path / "tone.svg"
    path.write_text(drawing('<rect x="5" y="5" width="50" height="50" fill="#999"/>'))
    main(["preflight", str(path), "--no-ways", "--set", "tracing.tone=dots", "--set", "layout.size_by=page"])
    assert "screened tones" in capsys.readouterr().out
    main(["preflight", str(path), "--no-ways"])
    assert "screened tones" not in capsys.readouterr().out
