"""A sheet photographed on a table: the drawing on it prints, the table does not."""

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter
from stampwright import read_artwork
from stampwright.job.sections.tracing import TracingSection

WIDE, HIGH = 640, 480
ASKEW = [(120, 80), (540, 104), (560, 392), (88, 372)]
SQUARE = [(80, 60), (560, 60), (560, 420), (80, 420)]
CUT_OFF = [(120, 100), (540, 112), (600, 540), (60, 532)]


def photographed(path, table, corners, *, ink=(38, 36, 40)):
    """Draw a sheet with a disc and a ring on a grained table, lit from the left; return the drawing's pixels."""
    chance = np.random.default_rng(7)
    scene = Image.new("RGB", (WIDE, HIGH), table)
    draw = ImageDraw.Draw(scene)
    grain = np.asarray(scene, dtype=float) * (1 + 0.1 * np.sin(np.arange(HIGH) / 5.0))[:, None, None]
    scene = Image.fromarray(np.clip(grain, 0, 255).astype(np.uint8))
    draw = ImageDraw.Draw(scene)
    draw.polygon(corners, fill=(232, 229, 222))
    drawing = Image.new("L", (WIDE, HIGH), 0)
    ImageDraw.Draw(drawing).ellipse((200, 150, 300, 250), fill=255)
    ImageDraw.Draw(drawing).ellipse((340, 180, 460, 300), outline=255, width=20)
    scene.paste(ink, mask=drawing)
    seen = np.asarray(scene.filter(ImageFilter.GaussianBlur(0.8)), dtype=float)
    seen *= np.linspace(1.0, 0.7, WIDE)[None, :, None]
    seen += chance.normal(0.0, 3.0, seen.shape)
    Image.fromarray(np.clip(seen, 0, 255).astype(np.uint8)).save(path, quality=90, dpi=(254, 254))
    return int((np.asarray(drawing) > 0).sum())


@pytest.mark.parametrize(
    ("table", "corners"),
    [((105, 75, 50), ASKEW), ((40, 38, 36), ASKEW), ((105, 75, 50), SQUARE), ((90, 95, 60), CUT_OFF)],
    ids=["wood", "black", "square to it", "cut off"],
)
def test_table_round_a_sheet_is_no_ink(tmp_path, table, corners):
    drawn = photographed(tmp_path / "a.jpg", table, corners)
    artwork = read_artwork(tmp_path / "a.jpg")
    assert artwork.inked.area == pytest.approx(drawn / 100, rel=0.03)
    assert "table left out" in {finding.kind for finding in artwork.findings}


def test_frame_that_is_drawn_to_the_picture_s_edge_prints(tmp_path):
    drawn = photographed(tmp_path / "a.jpg", (38, 36, 40), SQUARE)
    artwork = read_artwork(tmp_path / "a.jpg")
    assert artwork.inked.area == pytest.approx((drawn + WIDE * HIGH - 480 * 360) / 100, rel=0.03)
    assert "table left out" not in {finding.kind for finding in artwork.findings}


def test_table_prints_where_no_light_is_to_be_evened(tmp_path):
    photographed(tmp_path / "a.jpg", (60, 45, 30), ASKEW)
    artwork = read_artwork(tmp_path / "a.jpg", tracing=TracingSection(flatten_light=False))
    assert artwork.inked.area > 1500
