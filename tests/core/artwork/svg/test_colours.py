"""Promises of which colours are ink: nothing vanishes in silence, and a job chooses by tone, colour or layer."""

import math

import pytest
import shapely
from stampwright.artwork.svg.reader import read_svg
from stampwright.errors import ArtworkError
from stampwright.job.sections.tracing import TracingSection

POSTER = """<svg xmlns="http://www.w3.org/2000/svg" xmlns:d="http://example.org/d"
  width="60mm" height="30mm" viewBox="0 0 60 30">
<rect width="60" height="30" fill="#ffffff"/>
<g id="frame"><rect x="1" y="1" width="58" height="2" fill="#111111"/></g>
<g d:label="Sun"><circle cx="15" cy="15" r="8" fill="#f2c200"/></g>
<g id="sea" d:label="Sea"><rect x="30" y="20" width="25" height="6" fill="#6fb6ff"/></g>
<rect x="30" y="8" width="10" height="5" fill="#000000" fill-opacity="0.3"/>
<rect x="45" y="8" width="10" height="5" fill="#888888"/>
</svg>"""


def read(text=POSTER, **values):
    return read_svg(text.encode(), name="poster", tracing=TracingSection(**values))


def left_out(artwork):
    return {finding.message.split()[0]: finding for finding in artwork.findings if finding.kind == "colour left out"}


def test_every_colour_that_is_left_out_is_told_with_its_area_and_place():
    found = left_out(read())
    assert {code: round(finding.measured, 1) for code, finding in found.items()} == {
        "#f2c200": pytest.approx(201.0, abs=0.2),
        "#6fb6ff": 150.0,
        "#b2b2b2": 50.0,
        "#888888": 50.0,
    }
    sun = found["#f2c200"]
    assert sun.severity == "warns"
    assert sun.place.centroid.distance(shapely.Point(15, 15)) < 0.05
    # The page is in the paper frame: what is drawn low lies low.
    assert found["#6fb6ff"].place.centroid.y == pytest.approx(7.0, abs=0.01)


def test_black_and_white_drawings_say_nothing_of_colours():
    text = (
        POSTER.replace("#f2c200", "#201000").replace("#6fb6ff", "#000").replace("#888888", "#333").replace("0.3", "0.9")
    )
    assert left_out(read(text)) == {}


def test_a_light_colour_that_is_covered_is_not_missed():
    squares = '<rect width="9" height="9" fill="yellow"/><rect width="9" height="9"/>'
    text = f'<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm">{squares}</svg>'
    assert left_out(read(text)) == {}


def test_everything_but_paper_can_be_ink():
    artwork = read(ink_by="not-paper")
    assert left_out(artwork) == {}
    assert artwork.inked.area == pytest.approx(116 + 201 + 150 + 50 + 50, abs=1)


def test_ink_can_be_told_by_its_tone():
    assert read(ink_darker_than=0.6).inked.area == pytest.approx(116 + 50, abs=0.1)
    assert set(left_out(read(ink_darker_than=0.6))) == {"#f2c200", "#6fb6ff", "#b2b2b2"}


def test_ink_can_be_chosen_by_its_colours():
    artwork = read(ink_by="colours", ink_colours=("#f2c200", "6fb6ff"))
    assert artwork.inked.area == pytest.approx(201 + 150, abs=0.5)
    assert "#111111" in left_out(artwork)


def test_layers_are_chosen_by_name_or_id():
    artwork = read(ink_by="not-paper", ink_layers=("sun", "SEA"))
    assert artwork.inked.area == pytest.approx(201 + 150, abs=0.5)
    assert {finding.kind for finding in artwork.findings} == {"layers left out"}
    told = {finding.message.split(" is not")[0]: finding for finding in artwork.findings}
    # Two rectangles of no layer are told together.
    assert {name: round(finding.measured, 1) for name, finding in told.items()} == {"frame": 116.0, "<rect>": 100.0}
    assert told["frame"].place.bounds == pytest.approx((1, 27, 59, 29), abs=1e-3)


def test_a_layer_within_moved_groups_and_with_a_shared_gradient_is_told_where_it_lies():
    text = """<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20"><g id="all"
    transform="translate(5 2)"><defs><linearGradient id="g"><stop stop-color="#a40"/><stop offset="1" stop-color="#c80"
    /></linearGradient></defs><g id="ink"><rect width="4" height="4"/></g><g id="empty"/>
    <g id="tint"><rect x="10" y="2" width="6" height="5" fill="url(#g)"/></g></g></svg>"""
    found = read(text, ink_layers=("ink",)).findings
    assert [finding.message.split(":")[0] for finding in found] == ["tint is not among the layers that print"]
    assert found[0].place.bounds == pytest.approx((15, 11, 21, 16), abs=1e-3)
    assert read(text, ink_layers=("ink",)).inked.area == pytest.approx(16.0)


CREAM = """<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="40mm" viewBox="0 0 40 40">
<rect width="40" height="40" fill="#f5ecd5"/><circle cx="20" cy="20" r="8" fill="#2b4a2b"/>
<rect x="6" y="4" width="20" height="2" fill="#ee5588"/>{more}</svg>"""


@pytest.mark.parametrize("values", [{"ink_by": "not-paper"}, {"ink_darker_than": 0.95}])
def test_a_light_colour_all_round_the_page_is_its_paper(values):
    artwork = read(CREAM.format(more=""), **values)
    assert artwork.inked.area == pytest.approx(math.pi * 64 + 40, abs=0.5)
    (told,) = artwork.findings
    assert told.message == "#f5ecd5 lies all round the page and is taken for its paper"
    assert told.severity == "notes"


def test_a_ground_with_bare_paper_in_it_or_that_is_named_is_no_paper():
    ring = CREAM.format(more='<rect x="5" y="10" width="30" height="25" fill="#fff"/>')
    assert read(ring, ink_by="not-paper").inked.area == pytest.approx(1600 - 750, abs=1)
    named = read(CREAM.format(more=""), ink_by="colours", ink_colours=("#f5ecd5",))
    assert named.inked.area == pytest.approx(1600 - math.pi * 64 - 40, abs=0.5)


@pytest.mark.parametrize("hiding", ['style="display:none;fill:#000"', 'visibility="hidden"', 'opacity="0"'])
def test_a_hidden_layer_prints_where_it_is_named_and_that_is_said(hiding):
    text = POSTER.replace('<g id="frame">', f'<g id="alternates, old" {hiding}><g id="frame">').replace(
        "<g d:label", "</g><g d:label", 1
    )
    artwork = read(text, ink_layers=("frame",))
    assert artwork.inked.area == pytest.approx(116)
    told = [finding.message for finding in artwork.findings if finding.kind == "hidden layer printed"]
    assert told == ["alternates, old is hidden in the drawing, and prints because it is named"]


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"ink_by": "colours", "ink_colours": ("#ff00ff",)}, r"shows none of tracing.ink_colours \(#ff00ff\)"),
        ({"ink_layers": ("Sun",)}, "darker than half luminance; tracing.ink_by=not-paper prints every colour"),
        ({"ink_darker_than": 0.01}, "darker than 0.01 of white"),
    ],
)
def test_a_drawing_without_ink_says_which_setting_leaves_it_none(values, words):
    with pytest.raises(ArtworkError, match=words):
        read(**values)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"ink_layers": ("Moon",)}, "no layer 'Moon'; there are: frame, Sun, Sea"),
        ({"ink_by": "colours"}, "names no colour"),
        ({"ink_by": "colours", "ink_colours": ("reddish",)}, "no colour"),
    ],
)
def test_what_is_not_there_is_said(values, words):
    with pytest.raises(ArtworkError, match=words):
        read(**values)


def test_gradients_are_judged_by_their_colours_where_ink_is():
    text = """<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="10mm" viewBox="0 0 40 10"><defs>
    <linearGradient id="g"><stop offset="0"/><stop offset="1" stop-color="#fff"/></linearGradient></defs>
    <rect width="40" height="10" fill="url(#g)"/></svg>"""
    assert read(text).inked.area == pytest.approx(200, rel=0.02)
    assert read(text, ink_by="not-paper").inked.area == pytest.approx(400 * 0.97, rel=0.03)


@pytest.mark.parametrize("hiding", ['display="none"', 'style="fill:#000; visibility:hidden"', 'opacity="0"'])
def test_layers_that_the_drawing_hides_are_told_with_what_they_cover(hiding):
    text = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">'
        f'<path d="M1 1h4v4h-4z"/><g id="guides" {hiding}><path d="M10 10h5v2h-5z"/></g></svg>'
    )
    artwork = read(text)
    (finding,) = artwork.findings
    assert artwork.inked.area == pytest.approx(16.0)
    assert finding.message == "guides is hidden in the drawing and does not print: it covers 10.0 mm²"
    assert finding.place.bounds == pytest.approx((10.0, 8.0, 15.0, 10.0))


@pytest.mark.parametrize(
    "drawn",
    [
        '<g opacity=".5"><rect width="20" height="20"/></g>',
        '<rect width="20" height="20" opacity=".5"/>',
        '<rect width="20" height="20" fill-opacity=".5"/>',
        '<g opacity=".7"><g opacity=".6"><rect width="20" height="20"/></g></g>',
        '<rect width="20" height="20"/><rect width="20" height="20" fill="#fff" opacity=".6"/>',
        '<mask id="m"><rect width="20" height="20" fill="#666"/></mask><rect width="20" height="20" mask="url(#m)"/>',
    ],
)
def test_black_that_shows_as_light_grey_is_not_left_out_in_silence(draw, drawn):
    artwork = draw(f'<rect x="50" width="20" height="20"/>{drawn}')
    assert artwork.inked.area == pytest.approx(400, rel=1e-3)
    (told,) = [finding for finding in artwork.findings if finding.kind == "colour left out"]
    assert told.measured == pytest.approx(400, rel=1e-3)
