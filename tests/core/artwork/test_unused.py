"""Settings that change nothing are said, whichever kind the artwork is."""

import pytest
from PIL import Image, ImageDraw
from stampwright import read_artwork
from stampwright.errors import ArtworkError
from stampwright.job.sections.tracing import TracingSection

DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm"><path d="M9 9h40v40h-40z"/></svg>'
COLOURS = ((255, 212, 0), (26, 79, 192), (136, 136, 136), (0, 0, 0))


def scan(path, colours=()):
    picture = Image.effect_noise((400, 300), 14).convert("RGB").point(lambda value: min(value + 110, 255))
    if colours:
        picture = Image.new("RGB", (400, 300), "white")
    draw = ImageDraw.Draw(picture)
    for at, colour in enumerate(colours or [(20, 20, 20)]):
        draw.rectangle((20 + 90 * at, 40, 90 + 90 * at, 220), fill=colour)
    picture.save(path, dpi=(300, 300))
    return path


def told(path, **values):
    artwork = read_artwork(path, tracing=TracingSection(**values))
    return [finding.message for finding in artwork.findings if finding.kind == "setting not used"]


@pytest.mark.parametrize(
    ("values", "words"),
    [
        (
            {"ink_colours": ("#ffd400",)},
            "tracing.ink_colours is set and not used: it counts with tracing.ink_by=colours, not darkness",
        ),
        ({"ink_by": "not-paper", "ink_darker_than": 0.7}, "tracing.ink_by=darkness, not not-paper"),
        ({"deskew": True}, "tracing.deskew is set and not used: it is for scans; a drawing is turned by layout.turn"),
        ({"width": 30.0}, "tracing.width is set and not used: it is for bitmaps"),
        ({"page": 2}, "for PDF files"),
        ({"brightness": 0.3}, "tracing.threshold=fixed, not global"),
    ],
)
def test_what_changes_nothing_in_a_drawing_is_said(tmp_path, values, words):
    path = tmp_path / "drawing.svg"
    path.write_text(DRAWING)
    (message,) = told(path, **values)
    assert words in message
    assert told(path) == []


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"ink_layers": ("ink",)}, "tracing.ink_layers is set and not used: it is for drawings that have layers"),
        ({"ink_by": "not-paper"}, "ink_by = not-paper is not used: in a scan or photograph ink is told by brightness"),
        ({"ink_by": "colours", "ink_colours": ("#ffd400",)}, "ink_by = colours is not used"),
        ({"ink_darker_than": 0.7}, "ink_darker_than is not used"),
        ({"window": 5.0}, "tracing.threshold=local, not global"),
    ],
)
def test_what_changes_nothing_in_a_scan_is_said(tmp_path, values, words):
    path = scan(tmp_path / "scan.png")
    (message,) = told(path, **values)
    assert words in message
    assert told(path, threshold="local", window=5.0) == []


def test_colours_that_a_picture_does_not_show_are_no_reason_to_print_others(tmp_path):
    path = scan(tmp_path / "flat.png", COLOURS)
    assert told(path, ink_by="colours", ink_colours=("#ffd400",)) == []
    with pytest.raises(ArtworkError, match=r"none of its colours be ink, which are #.*#ffd400"):
        read_artwork(path, tracing=TracingSection(ink_by="colours", ink_colours=("#ff00ff",)))


def test_light_colours_of_a_picture_are_told_by_the_tone_that_is_set(tmp_path):
    path = scan(tmp_path / "flat.png", COLOURS[:1])
    assert told(path, ink_darker_than=0.9) == []
    with pytest.raises(ArtworkError, match="none of its colours be ink"):
        read_artwork(path, tracing=TracingSection(ink_darker_than=0.3))
