"""One reader for all kinds of artwork file, told apart by what they hold."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image
from stampwright.artwork import read_artwork
from stampwright.artwork.sources import SourceFile
from stampwright.errors import ArtworkError
from stampwright.job.sections.tracing import TracingSection


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "BMP", "WEBP", "GIF"])
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


FOREIGN = {
    "drawing.eps": (b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n", "EPS", "SVG or PDF"),
    "preview.eps": (b"\xc5\xd0\xd3\xc6" + bytes(26), "EPS", "SVG or PDF"),
    "page.ps": (b"%!PS-Adobe-3.0\n", "PostScript", "SVG or PDF"),
    "plan.dxf": (b"  0\r\nSECTION\r\n  2\r\nHEADER\r\n", "DXF", "SVG"),
    "noted.dxf": (b"999\nmade by hand\n0\nSECTION\n", "DXF", "SVG"),
    "plan.dwg": (b"AC1032" + bytes(9), "DWG", "SVG"),
    "letter.odg": (b"PK\x03\x04" + bytes(26), "packed document", "SVG or PDF"),
    "layers.psd": (b"8BPS\x00\x01", "PSD", "PNG"),
    "photo.heic": (b"\x00\x00\x00\x18ftypheic", "HEIC", "JPEG"),
}


@pytest.mark.parametrize("name", FOREIGN)
def test_other_formats_are_refused_by_name_with_the_way_out(tmp_path, name):
    data, what, way = FOREIGN[name]
    (tmp_path / name).write_bytes(data)
    with pytest.raises(ArtworkError) as refused:
        read_artwork(tmp_path / name)
    told = str(refused.value)
    assert told.count(name) == 1
    assert what in told
    assert way in told
    assert "\n" not in told


@pytest.mark.parametrize("data", [b"just words", b"\x00\x01\x02 nothing", b"<html><body/></html>", b"\x7fELF\x02\x01"])
def test_what_is_no_artwork_is_told_all_that_is(tmp_path, data):
    (tmp_path / "notes").write_bytes(data)
    with pytest.raises(ArtworkError, match=r"SVG, PDF, PNG, JPEG, TIFF, BMP, WebP, GIF, or pieces as \.toml"):
        read_artwork(tmp_path / "notes")


def test_artwork_keeps_what_it_was_read_from(tmp_path):
    """SHA-256 of nothing and of "abc" are published with the standard (FIPS 180-4, examples)."""
    assert SourceFile("x", b"abc").sha256.startswith("ba7816bf")
    Image.new("L", (40, 40), 0).save(tmp_path / "leaf.png", dpi=(300, 300))
    picture = Image.new("L", (60, 60), 255)
    picture.paste(0, (10, 10, 50, 50))
    picture.save(tmp_path / "leaf.png", dpi=(300, 300))
    text = "[[pieces]]\nkind = 'mark'\nfile = 'leaf.png'\n[[pieces]]\nkind = 'mark'\nfile = './leaf.png'\nx = 20"
    (tmp_path / "card.toml").write_text(text)
    sources = read_artwork(tmp_path / "card.toml", fitted_to=90).sources
    assert sources.file.data == (tmp_path / "card.toml").read_bytes()
    assert {file.name: file.data for file in sources.named} == {
        name: (tmp_path / "leaf.png").read_bytes() for name in ("leaf.png", "./leaf.png")
    }
    assert read_artwork(tmp_path / "leaf.png").sources.file.own_name == "leaf.png"
