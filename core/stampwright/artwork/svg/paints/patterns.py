"""Patterns: one tile drawn once, and laid over a region again and again (SVG 2, section 14.3)."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from ...limits import beyond
from ...outlines.curves import Points
from ...outlines.filling import united
from ..painting.clipping import clipped_to
from ..painting.sheet import Sheet, home_place, referring
from ..placing.boxes import bounding_box, box_on_paper
from ..placing.place import Place
from ..placing.transforms import FARTHEST, about_origin
from ..placing.viewports import fitting, view_box
from ..seeing.inking import within
from ..seeing.marks import Item, Painted, PaintedGroup
from ..source.document import Element
from ..styling.values import IDENTITY, Matrix, inverted, length, transform


def pattern_items(
    sheet: Sheet, pattern: Element, element: Element, place: Place, laid_on: tuple[BaseGeometry, float]
) -> list[Item] | None:
    """Return a region filled by a pattern; ``laid_on``: the region, mm, paper frame, and an opacity.

    None where it cannot be laid: on a box without extent that its units refer to, with a tile that has none or holds
    nothing, or where its transform flattens it or leads beyond all measure.
    """
    region, opacity = laid_on
    if id(pattern) in place.chain:
        sheet.notes.add("circular reference", "a pattern that refers back to itself is not drawn", pattern)
        return []
    chain = sheet.referring_chain(pattern)

    def given(name: str) -> str | None:
        return next((link.attrib[name] for link in chain if name in link.attrib), None)

    box = bounding_box(sheet, element, place)
    tile = _tile(given, place, box)
    holder = next((link for link in chain if link.children), None)
    if tile is None or holder is None:
        return None
    x, y, width, height = tile
    own = transform(given("patternTransform") or "") or IDENTITY
    placed = place.moved(about_origin(sheet, pattern, place, own))
    back = inverted(placed.matrix)
    if back is None or max(map(abs, own)) > FARTHEST:
        return None
    inside = replace(home_place(sheet, pattern, placed), clip=None, purpose="paint", chain=place.chain | {id(pattern)})
    # What runs over the tile is cut off even where overflow is visible: SVG 2, section 14.3, leaves it open, and
    # renderers cut.
    inside = clipped_to(inside, box_on_paper(placed.matrix, x, y, width, height))
    # Content is measured from the tile's own corner, as renderers have it.
    fit = _content_fit(given, (width, height), box)
    if fit is None:
        return []
    inside = inside.moved((1, 0, 0, 1, x, y)).moved(fit)
    with referring(sheet):
        items = sheet.painter.elements(sheet, holder.children, inside)
    spots = _spots(shapely.get_coordinates(region), (x, y, width, height), placed, back)
    if len(spots) * max(1, len(items)) > sheet.limits.most_tiles:
        raise beyond("most_tiles", f"{pattern.described()} repeats {len(spots):,} times", sheet.limits)
    shown = region if place.clip is None else within(region, place.clip)
    repeated = _repeated(items, spots, shown)
    return repeated if opacity == 1 else [PaintedGroup(opacity=opacity, items=repeated)]


def _tile(
    given: Callable[[str], str | None], place: Place, box: tuple[float, float, float, float] | None
) -> tuple[float, float, float, float] | None:
    """Return x, y, width, height of the tile, user units; None when it shows nothing."""
    by_box = given("patternUnits") != "userSpaceOnUse"
    if by_box and box is None:
        return None
    sides = []
    for name, direction in (("x", "x"), ("y", "y"), ("width", "x"), ("height", "y")):
        text = given(name) or "0"
        sides.append((length(text, whole=1.0) if by_box else place.length(text, direction)) or 0.0)
    x, y, width, height = sides
    if by_box and box is not None:
        left, top, right, bottom = box
        x, y = left + x * (right - left), top + y * (bottom - top)
        width, height = width * (right - left), height * (bottom - top)
    return (x, y, width, height) if width > 0 and height > 0 else None


def _content_fit(
    given: Callable[[str], str | None], size: tuple[float, float], box: tuple[float, float, float, float] | None
) -> Matrix | None:
    """Return how what a tile holds is fitted to it; None where its view box shows nothing."""
    drawn = view_box(given("viewBox"))
    if drawn is not None:
        return fitting(drawn, given("preserveAspectRatio"), *size)
    if given("patternContentUnits") == "objectBoundingBox" and box is not None:
        left, top, right, bottom = box
        return right - left, 0, 0, bottom - top, 0, 0
    return IDENTITY


def _spots(points: Points, tile: tuple[float, float, float, float], placed: Place, back: Matrix) -> Points:
    """Return by how much the first tile is moved to each of its places, (n, 2) float, mm."""
    x, y, width, height = tile
    a, b, c, d, e, f = back
    inside = points @ np.array([[a, b], [c, d]]) + (e, f)
    low = np.floor((inside.min(axis=0) - (x, y)) / (width, height))
    high = np.ceil((inside.max(axis=0) - (x, y)) / (width, height))
    if (high - low).prod() > 1e7:
        return np.empty((10_000_001, 2))  # past any limit; the caller refuses it
    across, up = np.meshgrid(np.arange(low[0], high[0]), np.arange(low[1], high[1]))
    a, b, c, d, _, _ = placed.matrix
    steps = np.column_stack((across.ravel() * width, up.ravel() * height))
    spots: Points = steps @ np.array([[a, b], [c, d]])
    return spots


def _repeated(items: Sequence[Item], spots: Points, shown: BaseGeometry) -> list[Item]:
    """Return each item at every spot at once; tiles do not overlap, so their order among each other is free."""
    repeated: list[Item] = []
    for item in items:
        if isinstance(item, PaintedGroup):
            copy = PaintedGroup(opacity=item.opacity, blend=item.blend, items=_repeated(item.items, spots, shown))
            copy.masks = [
                (PaintedGroup(opacity=mask.opacity, items=_repeated(mask.items, spots, shown)), by_opacity)
                for mask, by_opacity in item.masks
            ]
            repeated.append(copy)
            continue
        region = item.region if item.clip is None else within(item.region, item.clip)
        if region.is_empty:
            continue
        copies = [affinity.translate(region, x, y) for x, y in spots.tolist()]
        repeated.append(Painted(united([copy for copy in copies if copy.intersects(shown)]), item.colour, shown))
    return repeated
