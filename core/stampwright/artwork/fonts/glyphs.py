"""Glyphs: the outline of one letter as a filled region."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...plane.overlays import all_joined
from ...plane.regions import filled_parts
from .case import Font, opened

Corner = tuple[float, float]

Tint = tuple[float, float, float, float]

MOST_STEPS = 200
"""Pieces that one curve is flattened into at the most."""

MOST_GLYPH_POINTS = 50_000
"""Points of one flattened glyph; a glyph with more is no letter and is left out."""


@lru_cache(maxsize=4096)
def glyph_outline(font: Font, glyph: int, tolerance: float) -> MultiPolygon:
    """Return a glyph as a region at type size 1, its origin on the baseline.

    ``tolerance``: how far a flattened curve may stray, as a share of the type size. Overlapping contours are filled
    by the nonzero rule, as OpenType asks.
    """
    face = opened(font)
    pen = _GlyphPen(tolerance * face.face.upem)
    face.draw_glyph_with_pen(glyph, pen)
    rings = [np.array(ring) / face.face.upem for ring in pen.rings if len(ring) > 2]
    if not rings or sum(map(len, rings)) > MOST_GLYPH_POINTS:
        return MultiPolygon()
    return fill_nonzero(rings)


def glyph_layers(font: Font, glyph: int) -> tuple[tuple[int, Tint | None], ...]:
    """Return the glyphs that a glyph of a colour font is laid of, lowest first, and in which colour (OpenType, COLR).

    Red, green, blue and opacity from 0 to 1 by the font's first palette; None for the colour of the text. Empty where
    the glyph has one colour, or its colours are more than flat layers.
    """
    face = opened(font).face
    if not (face.has_color_layers and face.has_color_palettes):
        return ()
    palette = face.get_color_palette(0).colors
    layers = []
    for layer in face.get_glyph_color_layers(glyph):
        tint = None
        if layer.color_index < len(palette):
            colour = palette[layer.color_index]
            tint = (colour.red / 255, colour.green / 255, colour.blue / 255, colour.alpha / 255)
        layers.append((layer.glyph, tint))
    return tuple(layers)


def fill_nonzero(rings: list[NDArray[np.float64]]) -> MultiPolygon:
    """Return the region that rings enclose by the nonzero rule; ``rings``: (n, 2) arrays, closed or not.

    >>> square = np.array([(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)])
    >>> fill_nonzero([square, square + 1.0]).area, fill_nonzero([square, square[::-1] / 2]).area
    (7.0, 3.0)
    """
    closed = [ring if np.array_equal(ring[0], ring[-1]) else np.vstack([ring, ring[:1]]) for ring in rings]
    noded = all_joined(shapely.linestrings(np.vstack(closed), indices=_row_owners(closed)))
    faces = shapely.get_parts(shapely.polygonize([noded]))
    if not len(faces):
        return MultiPolygon()
    inside = shapely.get_coordinates(shapely.point_on_surface(faces))
    filled = faces[_winding(closed, inside) != 0]
    return filled_parts(all_joined(filled))


def _row_owners(rings: list[NDArray[np.float64]]) -> NDArray[np.intp]:
    return np.repeat(np.arange(len(rings)), [len(ring) for ring in rings])


def _winding(rings: list[NDArray[np.float64]], points: NDArray[np.float64]) -> NDArray[np.intp]:
    """Return how often the rings wind round each point: signed crossings of a ray to the right (Sunday 2001)."""
    start = np.vstack([ring[:-1] for ring in rings])
    end = np.vstack([ring[1:] for ring in rings])
    x, y = points[:, :1], points[:, 1:]
    side = (end[:, 0] - start[:, 0]) * (y - start[:, 1]) - (x - start[:, 0]) * (end[:, 1] - start[:, 1])
    upward = (start[:, 1] <= y) & (end[:, 1] > y) & (side > 0)
    downward = (start[:, 1] > y) & (end[:, 1] <= y) & (side < 0)
    wound: NDArray[np.intp] = upward.sum(axis=1) - downward.sum(axis=1)
    return wound


class _GlyphPen:
    """Takes a glyph's contours from the shaping engine and flattens their curves; its names are the engine's."""

    def __init__(self, tolerance: float) -> None:
        self.tolerance = tolerance
        self.rings: list[list[Corner]] = []

    def moveTo(self, point: Corner) -> None:  # noqa: N802
        self.rings.append([point])

    def lineTo(self, point: Corner) -> None:  # noqa: N802
        self.rings[-1].append(point)

    def qCurveTo(self, control: Corner, end: Corner) -> None:  # noqa: N802
        start = self.rings[-1][-1]
        first = tuple(a + (b - a) * 2 / 3 for a, b in zip(start, control, strict=True))
        second = tuple(a + (b - a) * 2 / 3 for a, b in zip(end, control, strict=True))
        self.curveTo((first[0], first[1]), (second[0], second[1]), end)

    def curveTo(self, first: Corner, second: Corner, end: Corner) -> None:  # noqa: N802
        corners = np.array([self.rings[-1][-1], first, second, end])
        # n(n-1)/8 = 0.75 of the largest second difference bounds how far the chords of a cubic stray (Wang 1984).
        bend = np.hypot(*np.diff(corners, n=2, axis=0).T).max()
        steps = min(max(1, math.ceil(math.sqrt(0.75 * bend / self.tolerance))), MOST_STEPS)
        t = np.arange(1, steps + 1)[:, None] / steps
        weights = np.hstack([(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3])
        self.rings[-1] += [(float(x), float(y)) for x, y in weights @ corners]

    def closePath(self) -> None:  # noqa: N802
        """Rings are closed where they are filled."""

    def endPath(self) -> None:  # noqa: N802
        """A font has no open contours."""
