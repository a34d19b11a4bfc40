"""What is looked at in the window is there: prints from all sides, faces from above, styles by their pictures."""

import numpy as np
import pytest
from PIL import Image, ImageDraw
from running import ROOT, Host
from test_window import told_in_window

# A window of its own, only with --all.
pytestmark = pytest.mark.sweep(0)

PICTURES = ROOT / "out" / "looking"


@pytest.fixture(scope="module")
def looked(host: Host) -> dict:
    """What was seen, and what the console said."""
    return told_in_window(host, "looking", PICTURES, "looking-*.png")


def test_all_of_it_is_looked_at(looked):
    assert looked["errors"] == []
    assert "Traceback" not in looked["console"]


@pytest.mark.parametrize("side", ["above", "slanting", "flat", "far"])
def test_a_print_is_seen_whole_on_its_sheet_from_every_side(looked, side):
    """Where print and sheet flicker through each other, about half of the ink is lost."""
    picture = Image.open(PICTURES / f"looking-{side}.png").convert("L")
    mask = Image.new("1", picture.size)
    corners = [(x, picture.height - y) for x, y in looked["sheet"][side]]
    ImageDraw.Draw(mask).polygon(corners, fill=1)
    seen = np.asarray(picture)[np.asarray(mask)]
    assert len(seen) > 300
    assert (seen > 200).mean() > 0.6
    dark = (seen < 100).mean()
    assert dark == pytest.approx(looked["ink"], rel=0.25)


def test_sculpting_looks_at_the_face_from_above_and_ending_it_goes_back(looked):
    assert looked["while sculpting"][3:7] == pytest.approx([1.0, 0.0, 0.0, 0.0], abs=1e-3)
    assert looked["after sculpting"] == pytest.approx(looked["before sculpting"], abs=1e-5)


def test_styles_are_offered_by_their_pictures(looked):
    """All eight thumbnails are in the window at once: more colours than a panel of buttons has."""
    shown = np.asarray(Image.open(PICTURES / "looking-styles.png").convert("RGB")).astype(int)
    before = np.asarray(Image.open(PICTURES / "looking-arranged.png").convert("RGB")).astype(int)
    changed = np.abs(shown - before).max(axis=2) > 20
    assert changed.sum() > 8 * 64 * 64


def test_a_picture_added_as_a_reference_is_traced(looked):
    """A dark field of three by two, five metres wide as the host adds it, fitted onto the base."""
    wide, high, area = looked["reference prints"]
    assert looked["reference"] == "IMAGE"
    assert wide > 10.0
    assert wide / high == pytest.approx(1.5, rel=0.02)
    assert area == pytest.approx(wide * high, rel=0.02)
