"""Artwork as data."""

from __future__ import annotations

from dataclasses import dataclass, field

from shapely.geometry import MultiPolygon, Polygon

from ..findings import Finding
from .letters import Letter


@dataclass(frozen=True)
class Code:
    """A machine-readable code in artwork, so that it can be checked at its final size.

    ``symbology``: ``qr``, ``code 128`` or ``ean 13``. ``module``: width of its finest bar or square, mm, at the page's
    own size. ``place``: the code with its quiet zone, same frame as the artwork.
    """

    symbology: str
    module: float
    place: Polygon


@dataclass(frozen=True)
class Artwork:
    """Line art as clean filled regions.

    ``inked``: valid MultiPolygon, mm, paper frame (x right, y up), the page's lower-left corner at the origin.
    ``page_size``: width and height, mm. ``tolerance``: how far a flattened curve may stray from the true one, mm, at
    the page's own size. ``findings``: what the reader could not take over, places in the same frame. ``codes``: the
    codes that were made or seen in it. ``plain``: ink that takes no texture, same frame; it is part of ``inked``.
    ``letters``: the characters of text in it, where they are known.
    """

    inked: MultiPolygon
    page_size: tuple[float, float]
    name: str = ""
    tolerance: float = 0.005
    findings: tuple[Finding, ...] = ()
    codes: tuple[Code, ...] = ()
    plain: MultiPolygon = field(default_factory=MultiPolygon)
    letters: tuple[Letter, ...] = ()
