"""Bitmap files as brightness: every kind, depth and turn, and nothing hostile."""

from __future__ import annotations

import io
import struct
import sys
import zlib

import numpy as np
import pytest
from PIL import Image
from stampwright.artwork.tracing import decode_picture, read_picture
from stampwright.errors import ArtworkError

HALF_DARK = np.repeat(np.array([[40, 220]], dtype=np.uint8), 20, axis=1).repeat(30, axis=0)


def encoded(image: Image.Image, kind: str, **options) -> bytes:
    stream = io.BytesIO()
    image.save(stream, kind, **options)
    return stream.getvalue()


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "BMP", "WEBP"])
def test_every_kind_gives_the_same_brightness_and_resolution(kind):
    options = {"WEBP": {"lossless": True}}.get(kind, {"dpi": (600, 600)})
    picture = decode_picture(encoded(Image.fromarray(HALF_DARK).convert("RGB"), kind, **options), name="x")
    assert picture.grey.shape == (30, 40)
    assert np.abs(picture.grey * 255 - HALF_DARK).max() <= 3
    if kind != "WEBP":
        assert picture.dpi == pytest.approx((600, 600), rel=1e-3)


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "CMYK", "I;16", "I", "F"])
def test_every_colour_model_keeps_dark_and_bright_apart(mode):
    if mode in ("I;16", "I"):
        deep = HALF_DARK.astype(np.uint16) * 257
        image = Image.fromarray(deep if mode == "I;16" else deep.astype(np.int32))
    elif mode == "F":
        image = Image.fromarray(HALF_DARK.astype(np.float32) / 255)
    else:
        image = Image.fromarray(HALF_DARK).convert("RGB").convert(mode, palette=Image.Palette.ADAPTIVE)
    picture = decode_picture(encoded(image, "TIFF"), name="x")
    if mode == "1":
        assert picture.grey.max() == 1.0
    else:
        assert picture.grey[0, 0] * 255 == pytest.approx(40, abs=2)
        assert picture.grey[0, -1] * 255 == pytest.approx(220, abs=2)


def test_transparency_lies_over_white():
    clear = Image.new("RGBA", (4, 4), (0, 0, 0, 0))
    clear.putpixel((1, 1), (0, 0, 0, 128))
    grey = decode_picture(encoded(clear, "PNG"), name="x").grey
    assert grey[0, 0] == 1.0
    assert grey[1, 1] == pytest.approx(0.5, abs=0.01)


def test_camera_orientation_is_obeyed():
    image = Image.fromarray(HALF_DARK)
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x011A], exif[0x0128] = 300.0, 2
    picture = decode_picture(encoded(image, "JPEG", exif=exif, quality=95), name="x")
    assert picture.grey.shape == (40, 30)
    assert picture.grey[0].mean() < 0.3
    assert picture.grey[-1].mean() > 0.7
    stored = decode_picture(encoded(image.convert("RGB"), "WEBP", exif=exif, lossless=True), name="x")
    assert stored.dpi == pytest.approx((300, 300))


def test_only_the_first_page_is_used_and_said():
    image = Image.fromarray(HALF_DARK)
    picture = decode_picture(encoded(image, "TIFF", save_all=True, append_images=[image, image]), name="x")
    assert [finding.kind for finding in picture.findings] == ["more pages"]


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "BMP", "WEBP"])
def test_broken_off_files_are_refused_in_one_line(kind):
    rng = np.random.default_rng(5)
    whole = encoded(Image.fromarray(rng.integers(0, 255, (90, 90), dtype=np.uint8)).convert("RGB"), kind)
    for length in (0, 3, 20, 60, len(whole) // 2, len(whole) - 40):
        with pytest.raises(ArtworkError) as refused:
            decode_picture(whole[:length], name="broken")
        assert "\n" not in str(refused.value)


def test_libraries_add_nothing_to_the_one_line(capfd):
    rng = np.random.default_rng(5)
    image = Image.fromarray(rng.integers(0, 255, (90, 90), dtype=np.uint8))
    whole = bytearray(encoded(image, "TIFF", compression="tiff_adobe_deflate"))
    whole[500:600] = bytes(100)
    with pytest.raises(ArtworkError):
        decode_picture(bytes(whole), name="broken")
    print("still heard", file=sys.stderr)
    assert capfd.readouterr().err == "still heard\n"


def _png_of_size(width: int, height: int) -> bytes:
    def chunk(name: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))

    header = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("size", [(10_000, 10_000), (60_000, 60_000), (2**31 - 1, 2**31 - 1), (2**31 - 1, 1)])
def test_decompression_bombs_are_refused_before_decoding(size):
    with pytest.raises(ArtworkError, match="pixels"):
        decode_picture(_png_of_size(*size), name="bomb")


def test_other_files_and_missing_ones_are_refused(tmp_path):
    (tmp_path / "text.png").write_text("not a picture")
    with pytest.raises(ArtworkError, match="not a bitmap"):
        read_picture(tmp_path / "text.png")
    with pytest.raises(ArtworkError, match="cannot be read"):
        read_picture(tmp_path / "none.png")
    with pytest.raises(ArtworkError, match="cannot be read"):
        read_picture(tmp_path)
