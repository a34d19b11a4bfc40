"""Tones: what a textured face prints lightly, as regions that are drawn in mixtures of ink and paper."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ...artwork.tracing.contours import Rings, trace_contours
from ...looks.colours import PAPER, html_code, rgb
from ...plane.rasters.raster import MM_PER_INCH
from ...plane.regions import filled_parts
from ...press import Impression

SHARES = (0.15, 0.4, 0.65, 0.9)
"""Darknesses, as shares of full ink, from which on each tone is laid over the lighter ones."""

_DPI = 150.0  # a page is looked at, and not enlarged, at this
_LEAST = 0.02  # mm²; smaller specks of tone are grain of the picture
_PLAIN = 0.01  # mm


def tones_of(impression: Impression, colour: str) -> Iterator[tuple[MultiPolygon, str]]:
    """Yield the tones of an impression, the lightest first, as regions, mm, paper frame, and colours as #rrggbb.

    ``colour``: of the ink, as #rrggbb. Each lies on the ones before it.
    """
    every = max(1, round(impression.dpi / _DPI))
    rows, columns = (size // every * every for size in impression.picture.shape)
    # The picture's last rows are its lowest: what is cut off lies at its top and right.
    picture = impression.picture[impression.picture.shape[0] - rows :, :columns]
    grey = picture.reshape(rows // every, every, columns // every, every).mean(axis=(1, 3))
    pixel = every * MM_PER_INCH / impression.dpi
    darkness = (1.0 - grey / 255.0).astype(np.float32)
    for share, after in zip(SHARES, (*SHARES[1:], 1.0), strict=True):
        region = _region(trace_contours(np.float32(share) - darkness), pixel, impression.corner)
        if not region.is_empty:
            yield region, _mixed(colour, 1.0 if after == 1.0 else (share + after) / 2.0)


def _region(rings: Rings, pixel: float, corner: tuple[float, float]) -> MultiPolygon:
    """Return what rings in pixels enclose, mm, each hole in the outer ring before it."""
    points = rings.points * pixel + np.asarray(corner)
    parts: list[tuple[NDArray[np.float64], list[NDArray[np.float64]]]] = []
    for at, hole in enumerate(rings.holes.tolist()):
        ring = points[rings.starts[at] : rings.starts[at + 1]]
        if len(ring) < 3:
            continue
        if hole:
            parts[-1][1].append(ring)
        else:
            parts.append((ring, []))
    areas = [Polygon(outer, holes) for outer, holes in parts]
    shapes = shapely.simplify(shapely.make_valid(np.array(areas, dtype=object)), _PLAIN)
    return filled_parts(MultiPolygon(_large(shapes)))


def _large(shapes: NDArray[np.object_]) -> list[Polygon]:
    flat = shapely.get_parts(shapes)
    return [part for part in flat if part.geom_type == "Polygon" and part.area >= _LEAST]


def _mixed(colour: str, share: float) -> str:
    """Return a colour between paper and ink, as it looks where ink lies thinly or in grains too fine to tell."""
    return html_code(low + share * (high - low) for low, high in zip(rgb(PAPER), rgb(colour), strict=True))
