"""Pictures are written tone for tone with their resolution recorded."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from stampwright.errors import OutputError
from stampwright.files import png_bytes, write_png


def test_another_reader_sees_the_same_tones_and_resolution(tmp_path: Path) -> None:
    picture = np.random.default_rng(4).integers(0, 256, (37, 53), dtype=np.uint8)
    write_png(tmp_path / "tones.png", picture, dpi=600)
    with Image.open(tmp_path / "tones.png") as seen:
        assert seen.mode == "L"
        assert np.array_equal(np.asarray(seen), picture)
        # 600 dpi is 23622.05 pixels per metre, and PNG holds whole ones.
        assert seen.info["dpi"] == pytest.approx((600, 600), abs=0.002)


def test_colours_come_back_as_they_went(tmp_path: Path) -> None:
    picture = np.random.default_rng(5).integers(0, 256, (21, 34, 3), dtype=np.uint8)
    write_png(tmp_path / "colours.png", picture, dpi=96)
    with Image.open(tmp_path / "colours.png") as seen:
        assert seen.mode == "RGB"
        assert np.array_equal(np.asarray(seen), picture)


@pytest.mark.parametrize(
    "picture", [np.zeros((0, 3), dtype=np.uint8), np.zeros((2, 2)), np.zeros((2, 2, 4), dtype=np.uint8)]
)
def test_what_is_no_picture_of_8_bits_is_refused(picture: np.ndarray) -> None:
    with pytest.raises(OutputError, match="8 bits"):
        png_bytes(picture, dpi=600)


@pytest.mark.parametrize("name", ["print.jpg", "print.tiff", "print", "print.png.bmp"])
def test_no_picture_goes_by_the_name_of_another_kind_of_file(tmp_path, name):
    with pytest.raises(OutputError, match=r"written as PNG; give it the ending \.png"):
        write_png(tmp_path / name, np.zeros((4, 4), dtype=np.uint8), dpi=600)
    assert list(tmp_path.iterdir()) == []
