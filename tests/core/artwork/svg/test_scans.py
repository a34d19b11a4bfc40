"""A scan laid into a drawing is taken as a scan of its own file is: its light is made even first."""

import base64
import io

import numpy as np
import pytest
from PIL import Image
from stampwright.artwork.svg import read_svg
from stampwright.errors import ArtworkError
from stampwright.job.sections.tracing import TracingSection

SIDE = 320


def scan(*, tint=(1.0, 1.0, 1.0)):
    """Return a black square, 80 pixels wide, on paper whose light falls off to a third, as a data URI."""
    light = np.tile(np.linspace(1.0, 0.33, SIDE), (SIDE, 1))
    light[120:200, 120:200] *= 0.15
    picture = np.rint(light[..., None] * tint * 255).astype(np.uint8)
    stream = io.BytesIO()
    Image.fromarray(picture).save(stream, "PNG")
    return "data:image/png;base64," + base64.b64encode(stream.getvalue()).decode()


def drawing(uri, side=320):
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{SIDE}" height="{SIDE}">'
        f'<image width="{side}" height="{side}" href="{uri}"/></svg>'
    ).encode()


def test_scan_that_fills_the_drawing_is_evened():
    artwork = read_svg(drawing(scan()))
    true = (80 * 25.4 / 96) ** 2
    assert artwork.inked.area == pytest.approx(true, rel=0.02)
    assert "uneven light" in {finding.kind for finding in artwork.findings}


@pytest.mark.parametrize(
    ("uri", "side", "even"),
    [
        (scan(), 250, True),  # a picture among others
        (scan(tint=(1.0, 0.6, 0.3)), 320, True),  # a picture in colours
        (scan(), 320, False),
    ],
)
def test_picture_that_is_no_scan_keeps_its_shadow(uri, side, even):
    artwork = read_svg(drawing(uri, side), tracing=TracingSection(flatten_light=even))
    # A third of the paper lies under half luminance.
    assert artwork.inked.area > 2 * (80 * side / SIDE * 25.4 / 96) ** 2


def test_deep_and_shallow_pictures_are_read_alike():
    deep = np.add.outer(np.arange(64), np.arange(64)) * 520
    areas = []
    for picture in (Image.fromarray(deep.astype(np.uint16)), Image.fromarray((deep >> 8).astype(np.uint8))):
        for kind in ("PNG", "GIF"):
            if picture.mode == "I;16" and kind == "GIF":
                continue
            stream = io.BytesIO()
            picture.save(stream, kind)
            uri = f"data:image/{kind.lower()};base64," + base64.b64encode(stream.getvalue()).decode()
            areas.append(read_svg(drawing(uri, 200)).inked.area)
    assert len(areas) == 3
    assert areas == pytest.approx([areas[0]] * 3, rel=0.02)


def test_gif_cut_off_is_said():
    stream = io.BytesIO()
    Image.new("L", (40, 40)).save(stream, "GIF")
    uri = "data:image/gif;base64," + base64.b64encode(stream.getvalue()[:20]).decode()
    with pytest.raises(ArtworkError, match="embedded image could not be read"):
        read_svg(drawing(uri))
