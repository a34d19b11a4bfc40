"""Ink: what of a painting an observer sees darker than half luminance on white paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from ....looks.light import LUMINANCE
from ....plane.overlays import common, without
from ...limits import Limits, beyond
from ...outlines.crossing import NOTHING, faces_between, united_faces
from ...outlines.filling import united
from .blending import Colours, blended
from .marks import Item, Painted, PaintedGroup

HALF = 0.5

Cells = NDArray[np.object_]
"""Polygons side by side."""


def seen_ink(items: Sequence[Item], limits: Limits) -> BaseGeometry:
    """Return the region that is darker than half luminance once ``items`` are painted, in order, on white paper."""
    solid = only_solid(items)
    if solid is not None:
        return _ink_of_solids(solid)
    faces, tones = faces_and_tones(items, limits)
    return united_faces(faces[tones < HALF])


def marks_of(items: Sequence[Item]) -> Iterator[Painted]:
    """Yield all marks, those of layers and their masks among them."""
    stack: list[Item] = list(reversed(items))
    while stack:
        item = stack.pop()
        if isinstance(item, Painted):
            yield item
        else:
            stack.extend(reversed(item.items))
            stack.extend(mask for mask, _ in item.masks)


def luminance(colour: Sequence[float]) -> float:
    """Return the luminance of a colour as written, 0 for black to 1 for white."""
    return float(np.dot(LUMINANCE, colour[:3]))


def only_solid(items: Sequence[Item]) -> list[Painted] | None:
    """Return the marks when every one is opaque and no layer changes them; None otherwise."""
    solid = []
    for item in items:
        if isinstance(item, PaintedGroup) or item.colour[3] < 1:
            return None
        solid.append(item)
    return solid


def _ink_of_solids(marks: Sequence[Painted]) -> BaseGeometry:
    """Paint opaque marks: dark ones add, light ones take away.

    Neighbouring runs are merged in pairs: painting is associative, so n marks take n log n work whatever their order.
    """
    runs = [_united(run) for run in _runs(marks)]
    while len(runs) > 1:
        pairs = [_painted_over(runs[at], runs[at + 1]) for at in range(0, len(runs) - 1, 2)]
        runs = pairs + runs[len(pairs) * 2 :]
    return runs[0][0] if runs else NOTHING


_Tones = tuple[BaseGeometry, BaseGeometry]
"""What a run of marks leaves dark, and what it leaves light."""


def _runs(marks: Sequence[Painted]) -> Iterator[list[Painted]]:
    """Yield marks next to each other that are alike dark or light and alike clipped."""
    run: list[Painted] = []
    for mark in marks:
        if run and ((_is_dark(run[0]) != _is_dark(mark)) or run[0].clip is not mark.clip):
            yield run
            run = []
        run.append(mark)
    if run:
        yield run


def _is_dark(mark: Painted) -> bool:
    return luminance(mark.colour) < HALF


def _united(run: list[Painted]) -> _Tones:
    region = united([mark.region for mark in run])
    if run[0].clip is not None:
        region = within(region, run[0].clip)
    return (region, NOTHING) if _is_dark(run[0]) else (NOTHING, region)


def _painted_over(below: _Tones, above: _Tones) -> _Tones:
    (dark, light), (over_dark, over_light) = below, above
    return (
        united([_without(dark, over_light), over_dark]),
        united([_without(light, over_dark), over_light]),
    )


def _without(region: BaseGeometry, taken: BaseGeometry) -> BaseGeometry:
    if region.is_empty or taken.is_empty or not shapely.box(*region.bounds).intersects(shapely.box(*taken.bounds)):
        return region
    return without(region, taken)


def within(region: BaseGeometry, clip: BaseGeometry) -> BaseGeometry:
    """Return the part of ``region`` inside ``clip``, lines and points left out."""
    if region.is_empty or (not clip.is_empty and clip.contains(shapely.box(*region.bounds))):
        return region
    shown = common(region, clip)
    if shown.geom_type in {"Polygon", "MultiPolygon"}:
        return shown
    parts = [part for part in shapely.get_parts(shown) if part.geom_type in {"Polygon", "MultiPolygon"}]
    return united(parts)


def _check_layers(items: Sequence[Item], limits: Limits) -> None:
    stack = [(item, 1) for item in items if isinstance(item, PaintedGroup)]
    while stack:
        layer, depth = stack.pop()
        if depth > limits.deepest_layers:
            raise beyond("deepest_layers", "layers with an opacity or mask of their own are nested too deeply", limits)
        inner = [*layer.items, *(mask for mask, _ in layer.masks)]
        stack.extend((item, depth + 1) for item in inner if isinstance(item, PaintedGroup))


def faces_and_tones(items: Sequence[Item], limits: Limits) -> tuple[Cells, NDArray[np.float64]]:
    """Return the page cut along every outline of every mark, and the luminance of each face on white paper, (n,)."""
    faces, colours = faces_and_colours(items, limits)
    return faces, colours @ LUMINANCE


def faces_and_colours(items: Sequence[Item], limits: Limits) -> tuple[Cells, NDArray[np.float64]]:
    """Return the page cut along every outline of every mark, and the colour of each face on white, (n, 3) 0 to 1.

    Source of the compositing: Porter and Duff 1984, "over" on premultiplied colours; CSS Compositing 1, section 5.
    """
    _check_layers(items, limits)
    marks = list(marks_of(items))
    regions = np.array([mark.region if mark.clip is None else within(mark.region, mark.clip) for mark in marks])
    faces = faces_between(list(shapely.boundary(regions[~shapely.is_empty(regions)])), limits)
    if not len(faces):
        return faces, np.empty((0, 3))
    middles = shapely.point_on_surface(faces)
    owner, face = shapely.STRtree(middles).query(regions, predicate="intersects")
    order = np.argsort(owner, kind="stable")
    covered = np.split(face[order], np.searchsorted(owner[order], np.arange(1, len(marks))))
    # The drawing is a group of its own, whose blend modes see nothing of the paper (CSS Compositing 1, section 3).
    clear = np.zeros((len(faces), 4))
    sheet = _composited(items, clear, {id(mark): at for mark, at in zip(marks, covered, strict=True)})
    return faces, sheet[:, :3] + (1 - sheet[:, 3:])


def _composited(items: Sequence[Item], sheet: Colours, covered: dict[int, Any]) -> Colours:
    """Return ``sheet``, one row a face, with ``items`` painted on it; ``covered``: the faces that each mark covers."""
    for item in items:
        if isinstance(item, Painted):
            at = covered[id(item)]
            red, green, blue, opacity = item.colour
            sheet[at] = sheet[at] * (1 - opacity) + (red * opacity, green * opacity, blue * opacity, opacity)
        else:
            sheet = blended(sheet, _layer(item, len(sheet), covered), item.blend)
    return sheet


def _layer(layer: PaintedGroup, count: int, covered: dict[int, Any]) -> Colours:
    """Return a layer painted on a clear sheet of its own, seen through its masks."""
    own = _composited(layer.items, np.zeros((count, 4)), covered) * layer.opacity
    for mask, by_opacity in layer.masks:
        through = _layer(mask, count, covered)
        own *= (through[:, 3] if by_opacity else through[:, :3] @ LUMINANCE)[:, None]
    return own
