"""Tracing against known art drawn by an independent renderer, and against scikit-image."""

from __future__ import annotations

import io

import numpy as np
import pytest
import resvg_py
import shapely
from PIL import Image
from scipy.ndimage import gaussian_filter
from shapely import affinity
from shapely.geometry import MultiPolygon, Point, Polygon, box
from skimage.filters import threshold_otsu, threshold_sauvola
from skimage.measure import find_contours
from stampwright.artwork.fonts import find_font, outline_text
from stampwright.artwork.tracing import trace_picture
from stampwright.artwork.tracing.contours import trace_contours
from stampwright.artwork.tracing.surroundings import local_threshold
from stampwright.artwork.tracing.thresholds import otsu_threshold
from stampwright.job.sections.tracing import TracingSection

WIDTH, HEIGHT = 44.0, 40.0


def known_art() -> MultiPolygon:
    """Letters, corners, curves and lines of 0.2 to 0.6 mm, mm; nothing that tapers to less than a pixel."""
    bold, _ = find_font("sans-serif", 700, folders=())
    regular, _ = find_font("sans-serif", 400, folders=())
    turns = np.pi / 2 + np.arange(10) * np.pi / 5
    star = Polygon(np.stack([np.cos(turns), np.sin(turns)], axis=1) * np.tile([5.0, 2.25], 5)[:, None])
    lines = [affinity.rotate(box(30, 28 + 1.6 * i, 40, 28.2 + 1.7 * i), 7 * i - 9) for i in range(5)]
    ring = Point(22, 32).buffer(5, 64).difference(Point(22, 32).buffer(4.2, 64))
    spots = [Point(36, 24).buffer(0.5, 32), Point(38, 24).buffer(0.3, 32), Point(39.5, 24).buffer(0.8, 32)]
    slant, egg = affinity.skew(box(3, 2, 9, 6), 20), affinity.scale(Point(16, 4).buffer(1, 64), 5, 2.2)
    return shapely.union_all(
        [
            *[affinity.translate(star, 8, 32), ring, slant, egg, *lines, *spots],
            affinity.translate(outline_text("Mossgate", bold, 7), 3, 18),
            affinity.translate(outline_text("Seed Library 123 &@", regular, 4), 3, 10),
        ]
    )


def rendered(art: MultiPolygon, dpi: float) -> np.ndarray:
    scale = dpi / 25.4
    width, height = round(WIDTH * scale), round(HEIGHT * scale)
    rings = [ring for part in art.geoms for ring in (part.exterior, *part.interiors)]
    outline = "".join(
        "M" + "L".join(f"{x * scale:.5f} {height - y * scale:.5f}" for x, y in ring.coords) + "Z" for ring in rings
    )
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}"><rect width="100%" height="100%" '
        f'fill="#fff"/><path fill-rule="evenodd" d="{outline}"/></svg>'
    )
    picture = Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=svg)))).convert("L")
    return np.asarray(picture, dtype=np.float32) / 255


def strays(one: MultiPolygon, other: MultiPolygon, step: float) -> np.ndarray:
    """Return distances from points along the outlines of one region to those of the other."""
    lines = shapely.get_parts(shapely.boundary(one))
    points = np.concatenate([shapely.line_interpolate_point(line, np.arange(0, line.length, step)) for line in lines])
    corners = [np.asarray(line.coords) for line in shapely.get_parts(shapely.boundary(other))]
    edges = np.concatenate([np.stack([line[:-1], line[1:]], axis=1) for line in corners])
    tree = shapely.STRtree(shapely.linestrings(edges))
    _, distance = tree.query_nearest(points, return_distance=True, all_matches=False)
    return distance


@pytest.mark.sweep(9)
@pytest.mark.parametrize("threshold", ["global", "local"])
@pytest.mark.parametrize("flaw", ["clean", "blur", "strong blur", "noise", "light", "all"])
@pytest.mark.parametrize("dpi", [600, 300])
def test_tracing_gives_back_known_art(dpi, flaw, threshold):
    """Outlines within half a pixel on the mean and one pixel at the 99th percentile, both ways."""
    art, pixel = known_art(), 25.4 / dpi
    grey = rendered(art, dpi)
    if flaw in ("blur", "strong blur", "all"):
        grey = gaussian_filter(grey, 1.5 if flaw == "strong blur" else 1.0, mode="nearest")
    if flaw != "clean":
        grey = 0.1 + 0.8 * grey
    if flaw in ("light", "all"):
        y, x = np.mgrid[0 : 1 : grey.shape[0] * 1j, 0 : 1 : grey.shape[1] * 1j]
        grey = grey * (1 - 0.45 * x**2) * (1 - 0.25 * y)
    if flaw in ("noise", "all"):
        grey = grey + np.random.default_rng(1).normal(0, 0.04, grey.shape)
    grey = (np.clip(grey, 0, 1) * 255).round().astype(np.float32) / 255
    inked = trace_picture(grey, (pixel, pixel), TracingSection(threshold=threshold), name="x").inked
    distance = np.concatenate([strays(inked, art, pixel / 2), strays(art, inked, pixel / 2)]) / pixel
    assert distance.mean() < 0.5
    assert np.percentile(distance, 99) < 1.0


def test_contours_agree_with_scikit_image():
    """skimage.measure.find_contours interpolates along the same pixel edges: enclosed areas agree."""
    grey = rendered(known_art(), 300)
    ours = np.sort(trace_contours(grey - np.float32(0.5)).areas)
    theirs = find_contours(np.pad(grey, 1, constant_values=1.0), 0.5)
    assert np.allclose(ours, np.sort([Polygon(ring).area for ring in theirs]), atol=0.02)


def test_thresholds_agree_with_scikit_image():
    grey = rendered(known_art(), 150) * 0.8 + 0.1
    grey = np.clip(grey + np.random.default_rng(4).normal(0, 0.05, grey.shape), 0, 1).astype(np.float32)
    counts, _ = np.histogram(grey, bins=256, range=(0, 1))
    middles = (np.arange(256) + 0.5) / 256
    expected = threshold_otsu(hist=(counts, middles))
    assert middles[otsu_threshold(counts.astype(float))] == pytest.approx(expected)
    for window in (15, 41):
        expected = threshold_sauvola(grey.astype(float), window_size=window, k=0.2, r=0.5)
        assert np.abs(local_threshold(grey, window, 0.2) - expected).max() < 1e-5
    # Windows so large are taken over tiles of pixels.
    expected = threshold_sauvola(grey.astype(float), window_size=101, k=0.2, r=0.5)
    assert np.abs(local_threshold(grey, 101, 0.2) - expected).max() < 0.03
