"""Measured widths against a second method: bisecting the disc at which a morphological opening begins to take ink.

Opening by a disc keeps exactly the points that some disc of that size inside the ink covers (Serra 1982, "Image
Analysis and Mathematical Morphology"), so on ink without outward corners it first takes some at the narrowest width.
"""

import numpy as np
import pytest
import shapely
from shapely.geometry import LineString, Point
from stampwright.preflight import measure_gap_widths, measure_line_widths

# Strokes of the letters E, A and S with round ends and a ring: all ends are round, so that there are no corners.
STROKES = {
    "E": [[(4, 0), (0, 0), (0, 8), (4, 8)], [(0, 4), (3, 4)]],
    "A": [[(0, 0), (3, 8), (6, 0)], [(1.2, 3), (4.8, 3)]],
    "S": [[(4, 6.5), (3, 7.8), (1, 7.6), (0.3, 6), (1.5, 4.4), (3.3, 3.4), (4, 1.8), (2.8, 0.3), (0.8, 0.4), (0, 1.6)]],
}


def opened(ink, width):
    return ink.buffer(-width / 2, quad_segs=64).buffer(width / 2, quad_segs=64)


def narrowest_by_opening(ink, low, high):
    """Return the greatest width whose opening takes nothing but the slivers that polygonal discs leave."""
    for _ in range(14):
        middle = (low + high) / 2
        taken = ink.difference(opened(ink, middle)).buffer(-0.002)
        low, high = (middle, high) if taken.is_empty else (low, middle)
    return (low + high) / 2


@pytest.mark.parametrize("letter", STROKES)
@pytest.mark.parametrize("widths", [(0.31, 0.62), (0.55, 0.47)])
def test_strokes_of_letters_agree_with_opening(letter, widths):
    parts = [
        LineString(line).buffer(width / 2, quad_segs=64) for line, width in zip(STROKES[letter], widths, strict=False)
    ]
    ink = shapely.union_all(parts)
    measured = measure_line_widths(ink, below=0.8).narrowest.min()
    assert measured == pytest.approx(narrowest_by_opening(ink, 0.1, 0.8), abs=0.01)
    assert measured == pytest.approx(min(widths[: len(parts)]), abs=0.01)


@pytest.mark.parametrize("seed", range(6))
def test_waists_of_blobs_agree_with_opening(seed):
    chance = np.random.default_rng(seed)
    blobs = [Point(2.0 * i, chance.uniform(-1, 1)).buffer(chance.uniform(1.05, 1.4), quad_segs=64) for i in range(6)]
    # Closing rounds the inward corners where blobs meet; rounded waists have one narrowest place each.
    ink = shapely.union_all(blobs).buffer(0.3, quad_segs=64).buffer(-0.6, quad_segs=64).buffer(0.3, quad_segs=64)
    ink = max(shapely.get_parts(ink), key=lambda part: part.area)
    measured = measure_line_widths(ink, below=4.0).narrowest.min()
    assert measured == pytest.approx(narrowest_by_opening(ink, 0.2, 4.0), abs=0.02)


def test_gap_agrees_with_the_distance_between_its_sides():
    left = LineString([(0, 0), (0, 8)]).buffer(1.0, quad_segs=64)
    right = LineString([(2.3, 0), (2.17, 8)]).buffer(1.0, quad_segs=64)
    measured = measure_gap_widths(shapely.MultiPolygon([left, right]), below=0.5).narrowest.min()
    assert measured == pytest.approx(left.distance(right), abs=0.005)
