"""Artwork as data."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from numbers import Real

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ..errors import ArtworkError
from ..findings import Finding
from .letters import Letter
from .sources import Sources


@dataclass(frozen=True)
class Code:
    """A machine-readable code in artwork, so that it can be checked at its final size.

    ``symbology``: ``qr``, ``code 128`` or ``ean 13``. ``module``: width of its finest bar or square, mm, at the page's
    own size. ``place``: the code with its quiet zone, same frame as the artwork.
    """

    symbology: str
    module: float
    place: Polygon

    def moved(self, matrix: tuple[float, float, float, float, float, float]) -> Code:
        """Return the code as it lies in another frame; ``matrix``: shapely's six numbers, which may stretch one way."""
        a, b, d, e, _, _ = matrix
        # The finest module is as wide as the matrix's least stretch leaves it.
        stretch = float(np.linalg.svd(np.array([[a, b], [d, e]]), compute_uv=False)[-1])
        return replace(self, module=stretch * self.module, place=affinity.affine_transform(self.place, matrix))


@dataclass(frozen=True)
class Artwork:
    """Line art as clean filled regions.

    ``inked``: valid MultiPolygon, mm, paper frame (x right, y up), the page's lower-left corner at the origin.
    ``page_size``: width and height, mm. ``tolerance``: how far a flattened curve may stray from the true one, mm, at
    the page's own size. ``findings``: what the reader could not take over, places in the same frame. ``codes``: the
    codes that were made or seen in it. ``plain``: ink that takes no texture, same frame; it is part of ``inked``.
    ``letters``: the characters of text in it, where they are known. ``true_size``: whether the page's size is what the
    drawing says of itself, in mm, inches, points or dots per inch, and not assumed. ``sources``: the files that it was
    read from.
    """

    inked: MultiPolygon
    page_size: tuple[float, float]
    name: str = ""
    tolerance: float = 0.005
    findings: tuple[Finding, ...] = ()
    codes: tuple[Code, ...] = ()
    plain: MultiPolygon = field(default_factory=MultiPolygon)
    letters: tuple[Letter, ...] = ()
    true_size: bool = False
    sources: Sources = field(default_factory=Sources)

    def __post_init__(self) -> None:
        """Check that the ink is a region with finite places; raises :class:`ArtworkError`."""
        if not isinstance(self.inked, MultiPolygon):
            raise ArtworkError(f"the ink of artwork is a MultiPolygon, mm, not {type(self.inked).__name__}")
        if not np.isfinite(shapely.get_coordinates(self.inked)).all():
            raise ArtworkError(f"{self.name or 'the artwork'}: has places that are no numbers; draw it again")


def check_fineness(tolerance: float, fitted_to: float) -> None:
    """Check how fine curves are asked to be; raises :class:`ArtworkError`.

    ``tolerance``: how far a straight piece may stray from its curve, mm, above 0; ``fitted_to``: the longer side of the
    ink on the stamp, mm, 0 or more.
    """
    for name, value, least in (("tolerance", tolerance, 1e-9), ("fitted_to", fitted_to, 0.0)):
        number = isinstance(value, Real) and not isinstance(value, bool) and math.isfinite(value)
        if not number or value < least:
            raise ArtworkError(f"{name} = {value!r} is not allowed: it takes a length in mm, {least:g} or more")
