"""Marks and layers painted as pixels: what a filter works on."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from shapely.geometry.base import BaseGeometry

from ....looks.light import LUMINANCE
from ..seeing.blending import blended
from ..seeing.inking import within
from ..seeing.marks import Item, Painted
from ..styling.values import Matrix

Pixels = NDArray[np.float64]
"""(rows, columns, 4): red, green and blue times opacity, and opacity; 0 to 1, top row first."""

FINER = 3
"""Pixels across one pixel while an edge's cover of it is found."""


def painted(items: Sequence[Item], to_pixels: Matrix, size: tuple[int, int]) -> Pixels:
    """Return ``items`` painted on a clear canvas of ``size`` (rows, columns); ``to_pixels``: from the paper frame."""
    return _painted_on(np.zeros((*size, 4)), items, to_pixels)


def _painted_on(canvas: Pixels, items: Sequence[Item], to_pixels: Matrix) -> Pixels:
    for item in items:
        if isinstance(item, Painted):
            _lay(canvas, item, to_pixels)
            continue
        own = _painted_on(np.zeros_like(canvas), item.items, to_pixels) * item.opacity
        for mask, by_opacity in item.masks:
            through = _painted_on(np.zeros_like(canvas), mask.items, to_pixels)
            own *= (through[..., 3] if by_opacity else through[..., :3] @ LUMINANCE)[..., None]
        canvas = blended(canvas.reshape(-1, 4), own.reshape(-1, 4), item.blend).reshape(canvas.shape)
    return canvas


def _lay(canvas: Pixels, mark: Painted, to_pixels: Matrix) -> None:
    region = mark.region if mark.clip is None else within(mark.region, mark.clip)
    if region.is_empty:
        return
    a, b, c, d, e, f = to_pixels
    rows, columns = canvas.shape[:2]
    placed = shapely.transform(region, lambda points: points @ np.array([[a, b], [c, d]]) + (e, f))
    left, top, right, bottom = placed.bounds
    left, top = max(int(left), 0), max(int(top), 0)
    right, bottom = min(int(right) + 1, columns), min(int(bottom) + 1, rows)
    if left >= right or top >= bottom:
        return
    red, green, blue, opacity = mark.colour
    share = (_cover(placed, (left, top, right, bottom)) * opacity)[..., None]
    part = canvas[top:bottom, left:right]
    part *= 1 - share
    part += share * (red, green, blue, 1.0)


def _cover(region: BaseGeometry, box: tuple[int, int, int, int]) -> NDArray[np.float64]:
    """Return how much of each pixel in ``box`` (left, top, right, bottom) a region covers."""
    left, top, right, bottom = box
    picture = Image.new("L", ((right - left) * FINER, (bottom - top) * FINER), 0)
    brush = ImageDraw.Draw(picture)
    # The brush fills pixels whose middles lie at whole numbers.
    parts = shapely.get_parts(region)
    for part in parts[np.argsort(-shapely.area(shapely.polygons([part.exterior for part in parts])))]:
        for ring, value in ((part.exterior, 1), *((ring, 0) for ring in part.interiors)):
            points = (shapely.get_coordinates(ring) - (left, top)) * FINER - 0.5
            brush.polygon([(x, y) for x, y in points.tolist()], fill=value)
    fine = np.asarray(picture, dtype=np.float64).reshape(bottom - top, FINER, right - left, FINER)
    cover: NDArray[np.float64] = fine.mean(axis=(1, 3))
    return cover
