"""Pictures: a bitmap file as brightness, upright, with the resolution that it records."""

from __future__ import annotations

import io
import logging
import os
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps, TiffImagePlugin, UnidentifiedImageError

from ...errors import ArtworkError, reason_of
from ...findings import Finding
from ...looks.light import LUMINANCE

FORMATS = ("PNG", "JPEG", "TIFF", "BMP", "WEBP", "GIF")

MOST_PIXELS = 40_000_000
"""Pixels of a bitmap; an A4 page at 600 dpi has 35 million, and each takes up to 46 bytes while it is traced."""

MOST_BYTES = 500_000_000
"""Size of a bitmap file."""

_BEGINNINGS = (b"\x89PNG", b"\xff\xd8\xff", b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+", b"BM", b"GIF8")
"""First bytes of PNG, JPEG, TIFF (also its large form), BMP and GIF."""

LONGEST_BEGINNING = 12
"""Bytes by which a bitmap is known; WebP takes most."""

# Without a handler of its own, what the decoder logs would be printed to standard error.
logging.getLogger("PIL").addHandler(logging.NullHandler())

LUMINANCE_OF_BANDS = (*LUMINANCE.tolist(), 0.0)
"""Share of red, green and blue in luminance (IEC 61966-2-1), as drawings are seen, too."""

_MOST_TINT = 16.0
"""Mean difference of a grey picture's channels, of 255 (assumed); paper is often a little yellow."""

_HUSHING = Lock()
"""Held while standard error is turned away, so that two pictures at a time do not leave it so."""

_EXIF_X_RESOLUTION, _EXIF_RESOLUTION_UNIT = 0x011A, 0x0128


@dataclass(frozen=True, eq=False)
class Picture:
    """A bitmap as brightness.

    ``grey``: (rows, columns) float32, 0 black to 1 white, top row first. ``dpi``: recorded resolution across and up,
    None when there is none. ``cover``: (rows, columns) float32, opacity before it was laid on white, None where all is
    opaque. ``tinted``: whether it has colours, not only greys. ``colours``: (rows, columns, 3) uint8 on white, None for
    a picture in greys.
    """

    grey: NDArray[np.float32]
    dpi: tuple[float, float] | None
    name: str
    findings: tuple[Finding, ...] = ()
    cover: NDArray[np.float32] | None = None
    tinted: bool = False
    colours: NDArray[np.uint8] | None = None


def is_bitmap(data: bytes) -> bool:
    """Say whether a file begins as a bitmap does; ``data``: its first ``LONGEST_BEGINNING`` bytes, or all of it."""
    return data.startswith(_BEGINNINGS) or (data[:4] == b"RIFF" and data[8:12] == b"WEBP")


def read_picture(path: str | Path, *, most_pixels: int = MOST_PIXELS) -> Picture:
    """Read a PNG, JPEG, TIFF, BMP, WebP or GIF file; raises :class:`ArtworkError` when that fails or it is too big."""
    path = Path(path)
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise ArtworkError(
                f"{path}: {size} bytes are more than {MOST_BYTES}; scan at a lower resolution or raise "
                "tracing.pictures.MOST_BYTES"
            )
        with path.open("rb") as stream:
            return decode_picture(stream, name=str(path), most_pixels=most_pixels)
    except OSError as error:
        raise ArtworkError(f"{path}: cannot be read ({reason_of(error)}); check the name") from error


def decode_picture(source: bytes | BinaryIO, *, name: str, most_pixels: int = MOST_PIXELS) -> Picture:
    """Decode a bitmap from bytes or an open file; ``name`` is said in messages.

    Transparency is laid over white, as it prints; the camera's note of which way is up is obeyed. Raises
    :class:`ArtworkError` when the bytes are no bitmap of a known kind, broken off, or of more than ``most_pixels``.
    """
    stream = io.BytesIO(source) if isinstance(source, bytes) else source
    # The decoder warns of large pictures by itself; the limit here is the one that counts.
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            with Image.open(stream, formats=FORMATS) as image:
                _check_size(image.size, name, most_pixels)
                pages = getattr(image, "n_frames", 1)
                dpi = _recorded_dpi(image)
                with _hushed() if image.format == "TIFF" else nullcontext():
                    upright = ImageOps.exif_transpose(image)
                turned = upright.size != image.size
                grey, cover, tinted = _as_grey(upright), _cover_of(upright), _is_tinted(upright)
                colours = _colours_of(upright)
        except ArtworkError:
            raise
        except Image.DecompressionBombError as error:
            raise _too_many_pixels(name, "", most_pixels) from error
        except MemoryError as error:
            raise ArtworkError(f"{name}: there is not enough memory to decode it; scale it down") from error
        except UnidentifiedImageError as error:
            raise ArtworkError(
                f"{name}: not a bitmap that can be read; use PNG, JPEG, TIFF, BMP, WebP or GIF"
            ) from error
        # A broken file makes the decoders raise whatever they stumble over.
        except Exception as error:
            raise ArtworkError(f"{name}: the bitmap is damaged or broken off ({error}); save it again") from error
    if dpi is not None and turned:
        dpi = (dpi[1], dpi[0])
    return Picture(grey, dpi, name, _page_findings(pages), cover, tinted, colours)


@contextmanager
def _hushed() -> Iterator[None]:
    """Keep what the TIFF library writes to standard error by itself away from the one line that the user gets."""
    with _HUSHING:
        try:
            error = os.dup(2)
        except OSError:
            # There is no standard error to keep clean, as under a window system.
            yield
            return
        silence = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silence, 2)
        try:
            yield
        finally:
            os.dup2(error, 2)
            os.close(silence)
            os.close(error)


def _check_size(size: tuple[int, int], name: str, most_pixels: int) -> None:
    width, height = size
    if width * height > most_pixels:
        raise _too_many_pixels(name, f" ({width} by {height})", most_pixels)


def _too_many_pixels(name: str, size: str, most_pixels: int) -> ArtworkError:
    return ArtworkError(
        f"{name}: more than {most_pixels} pixels{size}; scale it down, scan at a lower resolution, or raise most_pixels"
    )


def _as_grey(image: Image.Image) -> NDArray[np.float32]:
    if image.mode in ("I", "F") or image.mode.startswith("I;16"):
        deep = np.asarray(image, dtype=np.float32)
        deep = np.nan_to_num(deep, nan=1.0, posinf=1.0, neginf=0.0)
        # Whole numbers are 16 bits; floating ones have no fixed white, so the brightest is taken for it.
        white = 65535.0 if image.mode != "F" and deep.max() <= 65535 else max(float(deep.max()), 1.0)
        deep /= np.float32(white)
        return np.clip(deep, 0.0, 1.0, out=deep)
    if image.has_transparency_data:
        clear = image.convert("RGBA")
        paper = Image.new("RGBA", clear.size, "white")
        paper.alpha_composite(clear)
        image = paper.convert("RGB")
    elif image.mode not in ("1", "L", "RGB"):
        image = image.convert("RGB")
    if image.mode == "RGB":
        image = image.convert("L", LUMINANCE_OF_BANDS)
    return np.asarray(image.convert("L"), dtype=np.float32) / np.float32(255.0)


def _is_tinted(image: Image.Image) -> bool:
    """Say whether a picture has colours, by a small copy: more than what scanners leave of them in greys."""
    if image.mode not in {"RGB", "RGBA", "P", "PA", "CMYK", "YCbCr", "LAB", "HSV"}:
        return False
    small = np.asarray(image.convert("RGB").resize((64, 64)), dtype=np.float32)
    return bool(np.ptp(small, axis=2).mean() > _MOST_TINT)


def _colours_of(image: Image.Image) -> NDArray[np.uint8] | None:
    if image.mode in {"1", "L", "LA", "I", "F", "I;16"}:
        return None
    if image.has_transparency_data:
        clear = image.convert("RGBA")
        paper = Image.new("RGBA", clear.size, "white")
        paper.alpha_composite(clear)
        image = paper
    return np.asarray(image.convert("RGB"))


def _cover_of(image: Image.Image) -> NDArray[np.float32] | None:
    if not image.has_transparency_data:
        return None
    return np.asarray(image.convert("RGBA").getchannel("A"), dtype=np.float32) / np.float32(255.0)


def _recorded_dpi(image: Image.Image) -> tuple[float, float] | None:
    recorded = image.info.get("dpi")
    if recorded is None and image.format == "WEBP":
        exif = image.getexif()
        across = exif.get(_EXIF_X_RESOLUTION)
        unit = 2.54 if exif.get(_EXIF_RESOLUTION_UNIT) == 3 else 1.0
        recorded = (across * unit, across * unit) if isinstance(across, TiffImagePlugin.IFDRational | float) else None
    try:
        across, up = (float(value) for value in recorded or ())
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    # A density of 1 says that only the ratio of the sides is recorded.
    if not (2 <= across <= 20_000 and 2 <= up <= 20_000):
        return None
    return across, up


def _page_findings(pages: int) -> tuple[Finding, ...]:
    if pages <= 1:
        return ()
    return (
        Finding(
            kind="more pages",
            severity="notes",
            stage="artwork",
            message=f"The file holds {pages} pages; the first is used.",
            remedy="Save the page that is meant as a file of its own.",
            measured=float(pages),
            limit=1.0,
            unit="",
        ),
    )
