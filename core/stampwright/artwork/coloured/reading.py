"""Reading artwork in its colours, from files of any kind that has some, and making it from pieces."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon

from ...errors import ArtworkError
from ...job.pieces import Piece
from ...job.sections.tracing import TracingSection
from ...plane.rasters.pictures import is_bitmap
from ...plane.regions import sound_parts
from ..artwork import Artwork
from ..drawings import bytes_of
from ..kinds import check_kind
from ..limits import Limits
from ..made.composing import make_artwork, make_patches
from ..pdf import is_pdf
from ..sources import SourceFile, Sources
from ..svg.coloured import read_coloured_svg
from ..tracing.coloured import read_coloured_bitmap
from .patches import Coloured, Patch

UNNAMED = "#000000"
"""Colour of pieces whose ink has another: they are told apart by the ink that they name."""


def read_coloured(
    path: str | Path,
    *,
    tolerance: float = 0.005,
    fitted_to: float = 50.0,
    limits: Limits | None = None,
    tracing: TracingSection | None = None,
    layers: Sequence[str] = (),
) -> Coloured:
    """Return a drawing or a bitmap of flat colours as it is seen, each colour a region of its own.

    Arguments are those of :func:`~stampwright.artwork.read_artwork`. ``layers``: groups of an SVG drawing that are told
    apart whatever their colours, all else of it by its colours. Raises :class:`ArtworkError`, whose message names the
    file.
    """
    path, limits = Path(path), limits or Limits()
    if path.suffix.lower() in (".toml", ".json"):
        raise ArtworkError(f"{path}: pieces name their inks, which a job lists: put both into the job file")
    try:
        data = bytes_of(path, limits)
        check_kind(data)
        if is_pdf(data):
            raise ArtworkError("this is a PDF, which is read in one ink: save it as SVG to part it into inks")
        if is_bitmap(data):
            if layers:
                raise ArtworkError(f"a picture has no layers such as {layers[0]!r}: name colours instead")
            found = read_coloured_bitmap(path, data, tracing=tracing)
        else:
            found = read_coloured_svg(
                data,
                name=path.stem,
                tolerance=tolerance,
                fitted_to=max(fitted_to, 1e-6),
                limits=limits,
                tracing=tracing,
                layers=layers,
            )
    except ArtworkError as error:
        raise ArtworkError(f"{path}: {error}") from error
    return replace(found, whole=replace(found.whole, sources=Sources(SourceFile(str(path), data))))


def make_coloured(
    pieces: Iterable[Piece],
    *,
    name: str = "",
    folder: str | Path = ".",
    tolerance: float = 0.005,
    fitted_to: float = 0.0,
    first: str = "",
) -> Coloured:
    """Return pieces as coloured artwork: a patch for each ink that they name, its ``source`` being that name.

    ``first``: the ink of those that name none. Other arguments are those of
    :func:`~stampwright.make_artwork`, and it raises as that does.
    """
    pieces = tuple(replace(piece, ink=piece.ink or first) for piece in pieces)
    whole = make_artwork(pieces, name=name, folder=folder, tolerance=tolerance, fitted_to=fitted_to)
    seen = make_patches(pieces, folder=folder, tolerance=whole.tolerance)
    shift = _shift_between(seen.values(), whole)
    patches = [
        Patch(UNNAMED, sound_parts(affinity.translate(region, *shift)), source=ink) for ink, region in seen.items()
    ]
    patches.sort(key=lambda patch: -patch.region.area)
    return Coloured(whole, tuple(patches))


def _shift_between(regions: Iterable[MultiPolygon], whole: Artwork) -> tuple[float, float]:
    """Return how far the page of artwork lies off its pieces' own frame, mm."""
    left, bottom, _, _ = shapely.total_bounds(list(regions))
    to_left, to_bottom, _, _ = whole.inked.bounds
    return to_left - float(left), to_bottom - float(bottom)
