"""One reader for all kinds of artwork file, told apart by what they hold."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image
from stampwright.artwork import read_artwork
from stampwright.errors import ArtworkError
from stampwright.job.sections.tracing import TracingSection


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "BMP", "WEBP"])
def test_bitmaps_are_known_by_their_content(tmp_path, kind):
    grey = np.full((100, 100), 255, dtype=np.uint8)
    grey[20:80, 30:70] = 0
    Image.fromarray(grey).save(tmp_path / "scan", kind)
    artwork = read_artwork(tmp_path / "scan", tracing=TracingSection(width=10.0))
    assert artwork.page_size == pytest.approx((10, 10))
    assert artwork.inked.area == pytest.approx(24, rel=0.02)


def test_pieces_are_known_by_their_name(tmp_path):
    (tmp_path / "mark.toml").write_text("[[pieces]]\nkind = 'ring'\n")
    assert len(read_artwork(tmp_path / "mark.toml").inked.geoms) == 1


@pytest.mark.parametrize("name", ["none.png", "none.toml", "none.svg"])
def test_missing_files_are_named_once(tmp_path, name):
    with pytest.raises(ArtworkError) as refused:
        read_artwork(tmp_path / name)
    assert str(refused.value).count(name) == 1
