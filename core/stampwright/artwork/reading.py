"""Reading artwork from files of any supported kind."""

from __future__ import annotations

from pathlib import Path

from ..errors import ArtworkError, JobError
from ..job.sections.tracing import TracingSection
from ..job.written.tables import as_path
from .artwork import Artwork, check_fineness
from .drawings import read_drawing
from .made import read_pieces
from .svg import Limits


def read_artwork(
    path: str | Path,
    *,
    tolerance: float = 0.005,
    fitted_to: float = 50.0,
    limits: Limits | None = None,
    tracing: TracingSection | None = None,
) -> Artwork:
    """Read artwork from a file: SVG, PDF, a bitmap (PNG, JPEG, TIFF, BMP, WebP, GIF), or pieces (TOML, JSON).

    ``tolerance``: how far a flattened curve may stray, mm; it holds at the page's own size and also when the longer
    side of the ink is enlarged to ``fitted_to`` mm. ``limits``: how much an SVG file may ask for. ``tracing``: how a
    bitmap is traced, and whether tones are screened. Raises :class:`~stampwright.errors.ArtworkError`, whose message
    names the file.
    """
    path = _checked(path, tracing)
    check_fineness(tolerance, fitted_to)
    # Nought enlarges nothing; the reader takes its share of the ink's length.
    fitted_to = max(fitted_to, 1e-6)
    if path.suffix.lower() in (".toml", ".json"):
        return read_pieces(path, tolerance=tolerance, fitted_to=fitted_to, tracing=tracing)
    return read_drawing(path, tolerance=tolerance, fitted_to=fitted_to, limits=limits, tracing=tracing)


def _checked(path: str | Path, tracing: TracingSection | None) -> Path:
    """Return the path; raises :class:`ArtworkError` when it is none, or tracing is told by something else."""
    try:
        path = as_path(path, "artwork")
    except JobError as error:
        raise ArtworkError(str(error)) from error
    if tracing is not None and not isinstance(tracing, TracingSection):
        raise ArtworkError(f"tracing takes a TracingSection such as Job().tracing, not {type(tracing).__name__}")
    return path
