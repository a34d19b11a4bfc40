"""Bitmaps as artwork: true size, thresholds, dust, tones, and pictures that hold nothing."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import shapely
from PIL import Image, ImageDraw
from stampwright.artwork.tracing import bitmap, read_bitmap, regions, trace_picture
from stampwright.errors import ArtworkError
from stampwright.job.sections.tracing import TracingSection

PIXEL = (25.4 / 300, 25.4 / 300)


def written(folder: Path, grey: np.ndarray, **options) -> Path:
    path = folder / "scan.png"
    Image.fromarray((np.clip(grey, 0, 1) * 255).round().astype(np.uint8)).save(path, **options)
    return path


def square(side: int = 200, size: int = 300) -> np.ndarray:
    grey = np.ones((size, size), dtype=np.float32)
    low = (size - side) // 2
    grey[low : low + side, low : low + side] = 0
    return grey


def kinds(findings) -> list[str]:
    return [finding.kind for finding in findings]


def test_size_follows_the_recorded_resolution(tmp_path):
    artwork = read_bitmap(written(tmp_path, square(), dpi=(600, 600)))
    assert artwork.page_size == pytest.approx((12.7, 12.7), rel=1e-3)
    assert artwork.inked.area == pytest.approx((200 * 25.4 / 600) ** 2, rel=2e-3)
    assert artwork.findings == ()


def test_given_width_or_resolution_wins_over_the_recorded_one(tmp_path):
    path = written(tmp_path, square(), dpi=(600, 600))
    assert read_bitmap(path, tracing=TracingSection(width=30.0)).page_size == pytest.approx((30, 30))
    assert read_bitmap(path, tracing=TracingSection(dpi=300.0)).page_size == pytest.approx((25.4, 25.4))
    assert read_bitmap(path, tracing=TracingSection(width=15.0)).page_size == pytest.approx((15, 15))


def test_missing_and_doubtful_resolutions_are_said(tmp_path):
    assert "resolution assumed" in kinds(read_bitmap(written(tmp_path, square())).findings)
    assert "resolution doubtful" in kinds(read_bitmap(written(tmp_path, square(), dpi=(72, 72))).findings)


def test_unequal_resolutions_stretch_the_picture(tmp_path):
    artwork = read_bitmap(written(tmp_path, square(), dpi=(204, 98)))
    assert artwork.page_size[1] / artwork.page_size[0] == pytest.approx(204 / 98, rel=2e-3)


def test_corners_stay_sharp_and_holes_open():
    grey = square()
    grey[120:180, 120:180] = 1
    inked = trace_picture(grey, PIXEL, TracingSection(), name="x").inked
    assert len(inked.geoms) == 1
    assert len(inked.geoms[0].interiors) == 1
    # A square cut off at its corners by a pixel would lose half a square pixel at each.
    drawn = shapely.box(50, 50, 250, 250).difference(shapely.box(120, 120, 180, 180))
    assert (inked.symmetric_difference(shapely.affinity.scale(drawn, *PIXEL, origin=(0, 0)))).area < 0.6 * PIXEL[0] ** 2


def test_ink_that_runs_off_the_picture_ends_at_its_edge():
    grey = np.ones((60, 80), dtype=np.float32)
    grey[:, :30] = 0
    inked = trace_picture(grey, (0.1, 0.1), TracingSection(), name="x").inked
    assert inked.bounds == pytest.approx((0, 0, 3, 6), abs=0.02)


def test_paper_frame_has_y_up():
    grey = np.ones((100, 100), dtype=np.float32)
    grey[10:20, 40:60] = 0
    assert trace_picture(grey, (0.1, 0.1), TracingSection(), name="x").inked.bounds[1] > 7.5


def test_dust_is_dropped_and_counted():
    grey = square()
    grey[10, 10] = grey[20, 280] = 0
    grey[150, 150] = 1
    traced = trace_picture(grey, PIXEL, TracingSection(), name="x")
    assert len(traced.inked.geoms) == 1
    assert not traced.inked.geoms[0].interiors
    (finding,) = [finding for finding in traced.findings if finding.kind == "specks dropped"]
    assert finding.measured == 3
    kept = trace_picture(grey, PIXEL, TracingSection(dust=0.0), name="x")
    assert len(kept.inked.geoms) == 3


def test_negative_takes_what_is_bright_for_ink():
    positive = trace_picture(square(), PIXEL, TracingSection(), name="x").inked
    negative = trace_picture(1 - square(), PIXEL, TracingSection(negative=True), name="x").inked
    assert negative.symmetric_difference(positive).area < 1e-6 * positive.area


def test_local_threshold_finds_ink_under_a_stain():
    """A stain as dark as faint ink elsewhere: no single level can tell them apart."""
    grey = np.full((400, 600), 0.9, dtype=np.float32)
    grey[:, 300:] = 0.4
    for row in range(100, 300, 40):
        grey[row : row + 6, 50:250], grey[row : row + 6, 350:550] = 0.45, 0.1
    drawn = 5 * 2 * 6 * 200 * PIXEL[0] ** 2
    local = TracingSection(threshold="local", window=2.0, flatten_light=False)
    inked = trace_picture(grey, PIXEL, local, name="x").inked
    # Along the stain's own edge a local threshold sees ink; that is left out here.
    beside = shapely.box(270 * PIXEL[0], 0, 330 * PIXEL[0], 400 * PIXEL[0])
    assert inked.difference(beside).area == pytest.approx(drawn, rel=0.05)
    one_level = trace_picture(grey, PIXEL, TracingSection(flatten_light=False), name="x").inked
    assert one_level.difference(beside).area > 5 * drawn


def test_solids_larger_than_the_window_stay_solid():
    inked = trace_picture(square(), PIXEL, TracingSection(threshold="local", window=2.0), name="x").inked
    assert inked.area == pytest.approx((200 * PIXEL[0]) ** 2, rel=2e-3)


def test_level_by_hand_is_obeyed():
    grey = np.tile(np.linspace(0, 1, 201, dtype=np.float32), (50, 1))
    hand = TracingSection(threshold="fixed", brightness=0.25, flatten_light=False)
    inked = trace_picture(grey, (1.0, 1.0), hand, name="x").inked
    assert inked.bounds[2] == pytest.approx(50.5, abs=0.3)


def test_uneven_light_is_evened_out_and_said():
    grey = square(100, 320) * 0.8 + 0.1
    y, x = np.mgrid[0:1:320j, 0:1:320j]
    lit = (grey * (1 - 0.5 * x**2) * (1 - 0.3 * y)).astype(np.float32)
    traced = trace_picture(lit, PIXEL, TracingSection(), name="x")
    assert "uneven light" in kinds(traced.findings)
    assert traced.inked.area == pytest.approx((100 * PIXEL[0]) ** 2, rel=0.01)


@pytest.mark.parametrize("value", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("shape", [(1, 1), (1, 50), (300, 200)])
def test_one_even_tone_holds_no_ink(value, shape):
    with pytest.raises(ArtworkError, match="no ink"):
        trace_picture(np.full(shape, value, dtype=np.float32), PIXEL, TracingSection(), name="x")


def test_photographs_are_noticed():
    grey = np.tile(np.linspace(0, 1, 300, dtype=np.float32), (300, 1))
    findings = trace_picture(grey, PIXEL, TracingSection(flatten_light=False), name="x").findings
    assert "tones in bitmap" in kinds(findings)


def portrait():
    """A soft head and shoulders before a light wall, in grain."""
    y, x = np.mgrid[0:300, 0:300]
    head = 0.35 * np.exp(-((x - 150) ** 2 / 75**2 + (y - 140) ** 2 / 100**2))
    hair = 0.47 * np.exp(-((x - 150) ** 2 / 85**2 + (y - 60) ** 2 / 45**2))
    coat = 0.4 * np.exp(-((x - 150) ** 2 / 110**2 + (y - 310) ** 2 / 80**2))
    grain = np.random.default_rng(3).normal(0, 0.02, x.shape)
    return np.clip(0.9 - head - hair - coat + grain, 0, 1).astype(np.float32)


def blurred_checks():
    """Squares of ten pixels, so blurred that a third of all pixels lie between ink and paper."""
    y, x = np.mgrid[0:300, 0:300]
    checks = ((x // 10 + y // 10) % 2).astype(np.float64)
    kernel = np.exp(-(np.arange(-6, 7) ** 2) / (2 * 1.8**2))
    for axis in (0, 1):
        checks = np.apply_along_axis(np.convolve, axis, checks, kernel / kernel.sum(), "same")
    return checks.astype(np.float32)


@pytest.mark.parametrize(("drawn", "has_tones"), [(portrait, True), (blurred_checks, False)])
def test_soft_tones_are_told_from_the_blurred_edges_of_line_art(drawn, has_tones):
    findings = trace_picture(drawn(), PIXEL, TracingSection(), name="x").findings
    assert ("tones in bitmap" in kinds(findings)) == has_tones


@pytest.mark.parametrize("form", ["dots", "lines"])
def test_screens_keep_to_their_smallest_dot_and_gap(form):
    grey = np.tile(np.linspace(0.02, 0.98, 400, dtype=np.float32), (300, 1))
    tracing = TracingSection(tone=form, smallest_dot=0.8, smallest_gap=0.6)
    inked = trace_picture(grey, (0.1, 0.1), tracing, name="x").inked
    assert inked.is_valid
    opened = inked.buffer(-0.38).buffer(0.38)
    closed = inked.buffer(0.28).buffer(-0.28)
    assert inked.difference(opened.buffer(0.05)).area < 1e-3 * inked.area
    assert closed.difference(inked.buffer(0.05)).area < 1e-3 * inked.area


@pytest.mark.parametrize("share", [0.2, 0.35, 0.75, 0.9])
def test_dots_carry_the_tone(share):
    grey = np.full((600, 600), 1 - share, dtype=np.float32)
    grey[:15], grey[-15:] = 0, 1
    tracing = TracingSection(tone="dots", screen_spacing=2.5)
    inked = trace_picture(grey, (0.1, 0.1), tracing, name="x").inked
    middle = shapely.affinity.rotate(shapely.box(30 - 12.5, 30 - 12.5, 30 + 12.5, 30 + 12.5), 45)
    assert inked.intersection(middle).area / middle.area == pytest.approx(share, abs=0.01)


def test_screen_without_room_is_refused():
    with pytest.raises(ArtworkError, match=r"1\.4 mm or more"):
        trace_picture(square(), PIXEL, TracingSection(tone="dots", screen_spacing=1.0), name="x")


def test_busy_picture_gives_valid_outlines():
    image = Image.new("L", (500, 500), 255)
    draw = ImageDraw.Draw(image)
    rng = np.random.default_rng(3)
    for x, y, u, v in rng.integers(0, 500, (120, 4)).tolist():
        draw.line((x, y, u, v), fill=0, width=int(rng.integers(1, 6)))
    inked = trace_picture(np.asarray(image, dtype=np.float32) / 255, PIXEL, TracingSection(dust=0.0), name="x").inked
    assert inked.is_valid
    assert inked.area == pytest.approx((np.asarray(image) < 128).sum() * PIXEL[0] ** 2, rel=0.02)


def test_noise_is_refused_when_it_is_endless(monkeypatch):
    monkeypatch.setattr(bitmap, "MOST_EDGES", 1000)
    grey = np.random.default_rng(6).random((200, 200)).astype(np.float32)
    with pytest.raises(ArtworkError, match="too busy"):
        trace_picture(grey, PIXEL, TracingSection(), name="x")


@pytest.mark.parametrize("mended", [20_000, 0])
def test_noise_gives_valid_outlines(monkeypatch, mended):
    """With fitted curves that cross mended, and with traced rings in their place."""
    monkeypatch.setattr(regions, "_MOST_MENDED", mended)
    blocks = np.random.default_rng(7).random((60, 60)) > 0.5
    grey = np.kron(blocks, np.ones((5, 5))).astype(np.float32)
    inked = trace_picture(grey, PIXEL, TracingSection(), name="x").inked
    assert inked.is_valid
    assert inked.area == pytest.approx((grey < 0.5).sum() * PIXEL[0] ** 2, rel=0.02)
