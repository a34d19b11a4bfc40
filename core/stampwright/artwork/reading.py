"""Reading artwork from files of any supported kind."""

from __future__ import annotations

from pathlib import Path

from .types import Artwork


def read_artwork(path: str | Path, *, tolerance: float = 0.005, fitted_to: float = 50.0) -> Artwork:
    """Read artwork from a file.

    ``tolerance``: how far a flattened curve may stray, mm; it holds at the page's own size and also when the longer
    side of the ink is enlarged to ``fitted_to`` mm. Raises :class:`~stampwright.errors.ArtworkError`.
    """
    raise NotImplementedError
