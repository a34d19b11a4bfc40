"""PNG: a picture, grey or in colour, with its resolution recorded."""

from __future__ import annotations

import struct
import zlib
from os import PathLike
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ..errors import OutputError
from ..plane.rasters.raster import MM_PER_INCH
from .whole import write_file


def write_png(path: str | PathLike[str], picture: NDArray[np.uint8], *, dpi: float, overwrite: bool = False) -> None:
    """Write a picture, (rows, columns) or (rows, columns, 3) uint8 with 0 black and the top row first, as PNG.

    Raises :class:`OutputError` when the file is there already (unless ``overwrite``), cannot be written, or has the
    ending of another kind of file.
    """
    write_file(check_png(path), png_bytes(picture, dpi=dpi), overwrite=overwrite)


def check_png(path: str | PathLike[str]) -> Path:
    """Return the path of a picture; raises :class:`OutputError` where its ending tells of another kind of file."""
    name = Path(path)
    if name.suffix.lower() != ".png":
        raise OutputError(f"{name}: the picture is written as PNG; give it the ending .png")
    return name


def png_bytes(picture: NDArray[np.uint8], *, dpi: float) -> bytes:
    """Return a picture as PNG (ISO/IEC 15948), its resolution in a pHYs chunk in pixels per metre.

    Raises :class:`~stampwright.errors.OutputError` when it is not an array of that kind.

    >>> png_bytes(np.zeros((2, 3), dtype=np.uint8), dpi=600)[1:4]
    b'PNG'
    """
    grey = picture.ndim == 2
    if not (grey or (picture.ndim == 3 and picture.shape[2] == 3)) or picture.dtype != np.uint8 or not picture.size:
        raise OutputError("a picture is (rows, columns) or (rows, columns, 3) of 8 bits; this one is not")
    rows, columns = picture.shape[:2]
    flat = picture.reshape(rows, -1)
    # Every line as its difference from the one above: most lines of a stamp's picture repeat, and pack to nothing.
    lines = np.full((rows, flat.shape[1] + 1), 2, dtype=np.uint8)
    lines[0, 1:] = flat[0]
    np.subtract(flat[1:], flat[:-1], out=lines[1:, 1:])
    per_metre = round(dpi * 1000 / MM_PER_INCH)
    return b"".join(
        (
            b"\x89PNG\r\n\x1a\n",
            _chunk(b"IHDR", struct.pack(">IIBBBBB", columns, rows, 8, 0 if grey else 2, 0, 0, 0)),
            _chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1)),
            _chunk(b"IDAT", _packed(lines)),
            _chunk(b"IEND", b""),
        )
    )


def _packed(lines: NDArray[np.uint8]) -> bytes:
    # What is left after taking differences is runs: looking for nothing else is three times as fast, and as small.
    packer = zlib.compressobj(6, zlib.DEFLATED, zlib.MAX_WBITS, zlib.DEF_MEM_LEVEL, zlib.Z_RLE)
    return packer.compress(lines.data) + packer.flush()


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
