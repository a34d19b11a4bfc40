"""Reading drawings: vector files and bitmaps, cleaned, with the codes that are seen in them."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

from shapely.geometry.base import BaseGeometry

from ..errors import ArtworkError, reason_of
from ..job.sections.tracing import TracingSection
from ..plane.overlays import all_joined, common
from ..plane.rasters.pictures import LONGEST_BEGINNING, MOST_BYTES, is_bitmap
from ..plane.regions import sound_parts
from .artwork import Artwork, Code
from .cleaning import clean_artwork
from .codes_seen import QUIET, see_codes
from .kinds import check_kind
from .limits import beyond
from .pdf import is_pdf, read_pdf
from .sources import SourceFile, Sources
from .svg import Limits, read_svg
from .tracing import read_bitmap
from .unused import Kind, unused_settings


def read_drawing(
    path: str | Path,
    *,
    tolerance: float = 0.005,
    fitted_to: float = 50.0,
    limits: Limits | None = None,
    tracing: TracingSection | None = None,
    data: bytes | None = None,
) -> Artwork:
    """Read artwork from a drawn or scanned file: SVG, PDF or a bitmap (PNG, JPEG, TIFF, BMP, WebP, GIF).

    Arguments are those of :func:`~stampwright.artwork.read_artwork`, which takes other files, too. ``data``:
    what is in the file, where that is known already. Raises :class:`~stampwright.errors.ArtworkError`, whose message
    names the file.
    """
    path = Path(path)
    limits = limits or Limits()
    try:
        data = bytes_of(path, limits) if data is None else data
        check_kind(data)
        if not is_bitmap(data):
            read = read_pdf if is_pdf(data) else read_svg
            drawn = read(data, name=path.stem, tolerance=tolerance, fitted_to=fitted_to, limits=limits, tracing=tracing)
    except ArtworkError as error:
        raise ArtworkError(f"{path}: {error}") from error
    if is_bitmap(data):
        drawn = read_bitmap(path, data=data, tracing=tracing)
    if tracing is not None:
        kind: Kind = "bitmap" if is_bitmap(data) else "pdf" if is_pdf(data) else "svg"
        drawn = replace(drawn, findings=(*drawn.findings, *unused_settings(tracing, kind)))
    return replace(_finished(path, drawn, tracing), sources=Sources(SourceFile(str(path), data)))


def _finished(path: Path, artwork: Artwork, tracing: TracingSection | None) -> Artwork:
    """Return artwork cleaned, and with the codes that are seen in it, which then are checked like those made here."""
    # What is thinner than twice the tolerance is no more than an error of flattening.
    outline = tracing.double_outlines if tracing else 0.0
    artwork = clean_artwork(artwork, sliver=2 * artwork.tolerance, outline=outline)
    if artwork.inked.is_empty:
        raise ArtworkError(f"{path}: no ink: nothing in it is wide enough to be seen; enlarge the drawing")
    codes, findings = see_codes(artwork.inked)
    if not codes:
        return artwork
    plain = sound_parts(common(artwork.inked, all_joined([_symbol(code) for code in codes])))
    return replace(artwork, codes=codes, plain=plain, findings=(*artwork.findings, *findings))


def _symbol(code: Code) -> BaseGeometry:
    """Return where a code's own ink lies: its place without the quiet zone, and the breadth of an edge."""
    return code.place.buffer((0.5 - QUIET) * code.module, join_style="mitre")


def bytes_of(path: Path, limits: Limits) -> bytes:
    """Return what is in an artwork file; raises :class:`ArtworkError` when it cannot be read or is too large."""
    try:
        with path.open("rb") as stream:
            size = os.fstat(stream.fileno()).st_size
            start = stream.read(LONGEST_BEGINNING)
            if is_bitmap(start):
                if size > MOST_BYTES:
                    raise ArtworkError(f"{size:,} bytes are more than {MOST_BYTES:,}; scan at a lower resolution")
            elif size > limits.largest_file:
                raise beyond("largest_file", f"the file has {size:,} bytes", limits)
            return start + stream.read()
    # ValueError: a path with a character that no path has.
    except (OSError, ValueError) as error:
        raise ArtworkError(f"cannot be read ({reason_of(error)}); check the name") from error
