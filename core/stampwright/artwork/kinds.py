"""Kinds of file: those that are no artwork are refused by their beginnings, with what to do instead."""

from __future__ import annotations

import re

from ..errors import ArtworkError

TONES_IN_BITMAP = "tones in bitmap"
"""Kind of what is found of a bitmap that has tones between ink and paper, as a photograph has."""

READ = "SVG, PDF, PNG, JPEG, TIFF, BMP, WebP, GIF, or pieces as .toml"
"""What is read as artwork, as said where something else was given."""

_SAVED_AS = "open it in the drawing program and save it as SVG or PDF"

_FOREIGN = (
    (re.compile(rb"%!PS-Adobe-[\d.]+ EPSF|\xc5\xd0\xd3\xc6"), "EPS", _SAVED_AS),
    (re.compile(rb"%!"), "PostScript", "save it as SVG or PDF in the program that made it"),
    (re.compile(rb"\s*(?:999\s[^\n]*\n\s*)*0\s*\r?\n\s*SECTION|AutoCAD Binary DXF"), "DXF",
     "export it as SVG with a line width, for its lines have none"),
    (re.compile(rb"AC10\d\d"), "DWG", "export it as SVG with a line width"),
    (re.compile(rb"PK\x03\x04"), "a packed document, such as of an office or drawing program",
     "export the drawing from it as SVG or PDF"),
    (re.compile(rb"\xd0\xcf\x11\xe0|\{\\rtf"), "an office document", "export the drawing from it as SVG or PDF"),
    (re.compile(rb"8BPS"), "a layered picture (PSD)", "save it as PNG or TIFF"),
    (re.compile(rb"gimp xcf"), "a layered picture (XCF)", "export it as PNG or TIFF"),
    (re.compile(rb".{4}ftyp(?:heic|heix|mif1|msf1|avif)", re.DOTALL), "HEIC or AVIF", "save it as JPEG or PNG"),
    (re.compile(rb"\xd7\xcd\xc6\x9a|.{40} EMF", re.DOTALL), "a metafile (WMF, EMF)", _SAVED_AS),
    (re.compile(rb"solid "), "a mesh (STL)", "give the drawing that the stamp shall print"),
)  # fmt: skip
"""Beginnings, what they are of, and what to do (from the formats' published descriptions; from memory)."""


def check_kind(data: bytes) -> None:
    """Refuse what is no kind of artwork that is read; raises :class:`ArtworkError` that says how to convert it.

    ``data``: the whole file. What might be SVG, packed or not, a PDF or a bitmap passes.
    """
    start = data[:4096].lstrip(b"\xef\xbb\xbf \t\r\n")
    for beginning, what, advice in _FOREIGN:
        if beginning.match(start):
            raise ArtworkError(f"this is {what}, not artwork that this program reads: {advice}; it takes {READ}")
