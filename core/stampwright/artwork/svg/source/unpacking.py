"""Compressed SVG (svgz) unpacked within bounds."""

from __future__ import annotations

import zlib

from ....errors import ArtworkError
from ...limits import Limits, beyond

GZIP_MAGIC = b"\x1f\x8b"
"""RFC 1952, section 2.3.1."""


def unpacked(data: bytes, limits: Limits) -> bytes:
    """Return ``data`` decompressed when it is gzip, else as it is; raises :class:`ArtworkError` past the limit."""
    if not data.startswith(GZIP_MAGIC):
        return data
    inflater = zlib.decompressobj(wbits=31)
    try:
        plain = inflater.decompress(data, limits.largest_unpacked + 1)
    except zlib.error as error:
        raise ArtworkError(f"compressed SVG that cannot be unpacked ({error}); save it again") from error
    if len(plain) > limits.largest_unpacked:
        raise beyond("largest_unpacked", "the compressed file unpacks to more bytes than allowed", limits)
    if not inflater.eof:
        raise ArtworkError("compressed SVG that ends too early; the file is cut off, fetch or save it again")
    return plain
