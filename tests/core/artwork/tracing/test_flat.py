"""Promises of flat-colour bitmaps: they are known as such, edges stay true, and colours left out are told."""

import numpy as np
import pytest
from PIL import Image, ImageDraw
from stampwright.artwork.tracing import read_bitmap
from stampwright.job.sections.tracing import TracingSection

DPI = 300
MM = DPI / 25.4


def drawn(folder, *, kind="PNG", paper="white", soft=True, noise=0):
    """A poster at 300 dpi: a black bar, a yellow disc, a light blue bar, a mid grey square; soft edges."""
    over = 4 if soft else 1
    image = Image.new("RGB", (over * 700, over * 400), paper)
    draw = ImageDraw.Draw(image)
    for form, box, colour in (
        ("rectangle", (20, 20, 679, 59), "black"),
        ("ellipse", (60, 120, 259, 319), "#f2c200"),
        ("rectangle", (320, 300, 639, 359), "#6fb6ff"),
        ("rectangle", (320, 120, 419, 219), "#888888"),
    ):
        getattr(draw, form)([over * edge + (over - 1) * (at > 1) for at, edge in enumerate(box)], fill=colour)
    image = image.resize((700, 400), Image.Resampling.BOX)
    if noise:
        shaken = np.asarray(image, dtype=float) + np.random.default_rng(1).normal(0, noise, (400, 700, 3))
        image = Image.fromarray(np.clip(shaken, 0, 255).astype(np.uint8))
    path = folder / f"poster.{kind.lower()}"
    image.save(path, kind, dpi=(DPI, DPI))
    return path


def told(artwork):
    return {each.message.split()[0]: each for each in artwork.findings if each.kind == "colour left out"}


def mm2(pixels):
    return pixels / MM**2


@pytest.mark.parametrize("soft", [True, False])
def test_colours_of_a_flat_bitmap_that_are_left_out_are_told(tmp_path, soft):
    artwork = read_bitmap(drawn(tmp_path, soft=soft))
    found = told(artwork)
    assert set(found) == {"#f2c200", "#6fb6ff", "#888888"}
    assert found["#6fb6ff"].measured == pytest.approx(mm2(320 * 60), rel=0.02)
    assert found["#f2c200"].place.centroid.x == pytest.approx(160 / MM, abs=0.1)
    assert "uneven light" not in {each.kind for each in artwork.findings}
    assert artwork.inked.area == pytest.approx(mm2(660 * 40), rel=0.002)


def test_everything_that_is_not_paper_prints_on_request(tmp_path):
    artwork = read_bitmap(drawn(tmp_path, paper="#f4ead5"), tracing=TracingSection(ink_by="not-paper"))
    assert told(artwork) == {}
    whole = mm2(660 * 40 + np.pi * 100**2 + 320 * 60 + 100 * 100)
    assert artwork.inked.area == pytest.approx(whole, rel=0.003)
    assert len(artwork.inked.geoms) == 4


def test_ink_is_chosen_by_colour_with_true_edges(tmp_path):
    artwork = read_bitmap(drawn(tmp_path), tracing=TracingSection(ink_by="colours", ink_colours=("#f2c200",)))
    (disc,) = artwork.inked.geoms
    assert disc.area == pytest.approx(mm2(np.pi * 100**2), rel=0.003)
    left, bottom, right, top = disc.bounds
    assert (right - left, top - bottom) == (pytest.approx(200 / MM, abs=0.05), pytest.approx(200 / MM, abs=0.05))


def test_a_scan_in_black_on_cream_is_no_question_of_colours(tmp_path):
    image = Image.new("RGB", (600, 400), "#efe3c8")
    ImageDraw.Draw(image).rectangle((100, 100, 499, 299), fill="#201a18")
    shaken = np.asarray(image, dtype=float) + np.random.default_rng(2).normal(0, 6, (400, 600, 3))
    path = tmp_path / "scan.png"
    Image.fromarray(np.clip(shaken, 0, 255).astype(np.uint8)).save(path, dpi=(DPI, DPI))
    artwork = read_bitmap(path)
    assert told(artwork) == {}
    assert artwork.inked.area == pytest.approx(mm2(400 * 200), rel=0.01)


def test_greys_written_as_colours_are_not_taken_for_flat_colours(tmp_path):
    y, x = np.mgrid[0:300, 0:400]
    photo = 128 + 90 * np.sin(x / 60) * np.cos(y / 50)
    noise = np.where((y > 80) & (y < 200) & (x > 60) & (x < 300), 20, np.random.default_rng(1).normal(238, 14, x.shape))
    for tones in (photo, noise):
        path = tmp_path / "scan.png"
        Image.fromarray(np.clip(tones, 0, 255).astype(np.uint8)).convert("RGB").save(path, dpi=(DPI, DPI))
        assert told(read_bitmap(path)) == {}


def test_a_photograph_is_not_taken_for_flat_colours(tmp_path):
    y, x = np.mgrid[0:300, 0:400]
    tones = np.stack([128 + 100 * np.sin(x / 40), 128 + 90 * np.cos(y / 30), 120 + 0.3 * x], axis=2)
    path = tmp_path / "photo.png"
    Image.fromarray(np.clip(tones, 0, 255).astype(np.uint8)).save(path, dpi=(DPI, DPI))
    assert told(read_bitmap(path)) == {}
