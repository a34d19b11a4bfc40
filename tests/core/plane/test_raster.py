"""A picture's tones are the areas that ink covers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Point, Polygon, box
from stampwright.errors import MeshFileError
from stampwright.plane.rasters.raster import MOST_SCAN_PIXELS, picture_grid, picture_of

DPI = 25.4  # one pixel to the millimetre


def cover(outlines: MultiPolygon, rows: int, columns: int) -> np.ndarray:
    return (255.0 - picture_of(outlines, (rows, columns), (0.0, 0.0), DPI)) / 255.0


def test_a_square_across_pixels_gives_each_its_share() -> None:
    shares = cover(MultiPolygon([box(0.5, 0.25, 2.0, 2.0)]), 2, 3)
    expected = [[0.5, 1.0, 0.0], [0.375, 0.75, 0.0]]
    assert np.abs(shares - expected).max() <= 0.5 / 255


def test_top_row_is_the_top_of_the_paper() -> None:
    shares = cover(MultiPolygon([box(0, 3, 1, 4)]), 4, 2)
    assert shares[0, 0] == 1.0
    assert shares.sum() == 1.0


def test_holes_stay_bare() -> None:
    ring = Polygon(box(1, 1, 9, 9).exterior, [box(3, 3, 7, 7).exterior.coords])
    shares = cover(MultiPolygon([ring]), 10, 10)
    assert shares.sum() == 64 - 16
    assert shares[5, 5] == 0.0


def test_a_slanted_edge_gives_every_pixel_its_exact_area() -> None:
    # Below the line from (0, 0) to (4, 1): trapezoids of 1/8, 3/8, 5/8, 7/8.
    shares = cover(MultiPolygon([Polygon([(0, 0), (4, 0), (4, 1)])]), 1, 4)
    assert np.abs(shares[0] - np.array([1, 3, 5, 7]) / 8).max() <= 0.5 / 255


@settings(max_examples=40, deadline=None)
@given(
    x=st.floats(6, 14), y=st.floats(6, 14), radius=st.floats(0.05, 5), points=st.integers(3, 40), turn=st.floats(0, 6)
)
def test_tones_add_up_to_the_area(x: float, y: float, radius: float, points: int, turn: float) -> None:
    angles = turn + np.linspace(0, 2 * np.pi, points, endpoint=False)
    disc = Polygon(np.c_[x + radius * np.cos(angles), y + radius * np.sin(angles)])
    shares = cover(MultiPolygon([disc]), 20, 20)
    touched = np.count_nonzero((shares > 0) & (shares < 1)) + 4
    assert shares.sum() == pytest.approx(disc.area, abs=0.5 / 255 * touched + 1e-9)


@pytest.mark.parametrize("sparse", [0, 10**6])
def test_however_few_pixels_edges_pass_the_picture_is_the_same(monkeypatch: pytest.MonkeyPatch, sparse: int) -> None:
    inked = MultiPolygon([Point(60, 50).buffer(37.3).difference(Point(50, 40).buffer(9.1)), box(0, 0, 5.3, 100)])
    whole = picture_of(inked, (100, 100), (0.0, 0.0), DPI)
    monkeypatch.setattr("stampwright.plane.rasters.raster._SPARSE", sparse)
    assert (picture_of(inked, (100, 100), (0.0, 0.0), DPI) == whole).all()


def test_a_tall_picture_worked_in_bands_is_the_same_as_in_one(monkeypatch: pytest.MonkeyPatch) -> None:
    disc = MultiPolygon([Point(10, 10).buffer(7.3), box(18, 1, 19.5, 19)])
    whole = picture_of(disc, (20, 20), (0.0, 0.0), DPI)
    monkeypatch.setattr("stampwright.plane.rasters.raster._BAND", 70)
    assert np.array_equal(picture_of(disc, (20, 20), (0.0, 0.0), DPI), whole)


def test_no_ink_is_bare_paper() -> None:
    assert (picture_of(MultiPolygon(), (3, 4), (0.0, 0.0), DPI) == 255).all()


def test_a_picture_beyond_memory_is_refused() -> None:
    with pytest.raises(MeshFileError, match="fewer dpi"):
        picture_grid((0, 0, 1000, 1000), 4800)
    shape, _ = picture_grid((0, 0, 300, 300), 600)
    assert shape[0] * shape[1] < MOST_SCAN_PIXELS
