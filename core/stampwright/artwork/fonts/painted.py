"""Painted glyphs: what a colour font lays of gradients, moved shapes and layers that mix (OpenType, COLR version 1)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

import numpy as np
import shapely
import uharfbuzz as harfbuzz
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...plane.overlays import common
from ...plane.regions import filled_parts
from .case import Font, opened
from .glyphs import Tint, glyph_outline

Matrix = tuple[float, float, float, float, float, float]

MOST_PAINTED = 2_000
"""Washes of one glyph; a font that asks for more is no letter, and the rest is left out."""

FAR = 4.0
"""How far from its origin a glyph is painted, in type sizes, where the font bounds it by nothing."""


@dataclass(frozen=True)
class Stop:
    """A colour on the way along a gradient, at 0 to 1; ``own``: red, green and blue are those of the text instead."""

    offset: float
    tint: Tint
    own: bool


@dataclass(frozen=True, eq=False)
class Wash:
    """A region painted with one colour (a single stop) or a gradient.

    ``region``: in type sizes, y up. ``shape``: of the gradient, in its own space: ends x0, y0, x1, y1 of a linear one;
    circles x0, y0, r0, x1, y1, r1 of a radial one; x, y and two angles, rad, of one that sweeps round. ``extend``: how
    it goes on beyond its ends. ``matrix``: from that space to type sizes: a, b, c, d, e, f for x' = ax + cy + e.
    """

    region: MultiPolygon
    stops: tuple[Stop, ...]
    kind: Literal["plain", "linear", "radial", "sweep"] = "plain"
    shape: tuple[float, ...] = ()
    extend: str = "pad"
    matrix: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


@dataclass(frozen=True, eq=False)
class GlyphLayer:
    """Washes and layers painted on a sheet of their own, laid on those before by a ``mode``, such as ``src-over``."""

    items: tuple[Wash | GlyphLayer, ...]
    mode: str


@lru_cache(maxsize=512)
def painted_glyph(font: Font, glyph: int, tolerance: float) -> tuple[Wash | GlyphLayer, ...]:
    """Return how a glyph is painted, in order, at type size 1; empty where it has a plain outline, or flat layers.

    ``tolerance``: how far a flattened curve may stray, as a share of the type size.
    """
    face = opened(font)
    if not face.face.glyph_has_color_paint(glyph):
        return ()
    recorder = _Recorder(font, tolerance, float(face.face.upem))
    face.paint_glyph(glyph, recorder.functions(), recorder)
    return tuple(recorder.sheets[0])


def washes_of(items: tuple[Wash | GlyphLayer, ...]) -> list[Wash]:
    """Return all washes of what is painted, those in layers among them."""
    found = []
    for item in items:
        found += [item] if isinstance(item, Wash) else washes_of(item.items)
    return found


class _Recorder:
    """Takes a glyph's painting from the shaping engine: stacks of transforms, clips and sheets, as that asks."""

    def __init__(self, font: Font, tolerance: float, upem: float) -> None:
        self.font, self.tolerance, self.upem = font, tolerance, upem
        self.matrices: list[Matrix] = [(1 / upem, 0.0, 0.0, 1 / upem, 0.0, 0.0)]
        self.clips: list[BaseGeometry] = [shapely.box(-FAR, -FAR, FAR, FAR)]
        self.sheets: list[list[Wash | GlyphLayer]] = [[]]
        self.count = 0

    def functions(self) -> Any:
        """Return what the engine calls, the recorder being the last that each is given."""
        functions = harfbuzz.PaintFuncs()
        functions.set_push_transform_func(lambda *given: self.matrices.append(_after(self.matrices[-1], given[:6])))
        functions.set_pop_transform_func(lambda *_: self.matrices.pop())
        functions.set_push_clip_glyph_func(lambda glyph, *_: self._clip(self._outline(glyph), self.upem))
        functions.set_push_clip_rectangle_func(lambda *given: self._clip(shapely.box(*given[:4]), 1.0))
        functions.set_pop_clip_func(lambda *_: self.clips.pop())
        functions.set_color_func(lambda colour, own, *_: self._lay((_stop(0.0, colour, own),)))
        functions.set_linear_gradient_func(lambda line, *given: self._linear(line, given[:6]))
        functions.set_radial_gradient_func(lambda line, *given: self._radial(line, given[:6]))
        functions.set_sweep_gradient_func(lambda line, *given: self._sweep(line, given[:4]))
        functions.set_push_group_func(lambda *_: self.sheets.append([]))
        functions.set_pop_group_func(lambda mode, *_: self._close(mode))
        return functions

    def _outline(self, glyph: int) -> BaseGeometry:
        return glyph_outline(self.font, glyph, self.tolerance)

    def _clip(self, region: BaseGeometry, scale: float) -> None:
        a, b, c, d, e, f = self.matrices[-1]
        placed = affinity.affine_transform(region, (scale * a, scale * c, scale * b, scale * d, e, f))
        self.clips.append(filled_parts(common(self.clips[-1], shapely.make_valid(placed))))

    def _lay(
        self, stops: tuple[Stop, ...], kind: Any = "plain", shape: tuple[float, ...] = (), extend: str = ""
    ) -> None:
        region = filled_parts(self.clips[-1])
        self.count += 1
        if stops and not region.is_empty and self.count <= MOST_PAINTED:
            self.sheets[-1].append(Wash(region, stops, kind, shape, extend, self.matrices[-1]))

    def _linear(self, line: Any, places: tuple[float, ...]) -> None:
        stops, first, last, extend = _stops_of(line)
        start, end, third = np.array(places).reshape(3, 2)
        # The colours run square to the line from the first point to the third.
        across = np.array([start[1] - third[1], third[0] - start[0]])
        square = across @ across
        way = across * ((end - start) @ across / square) if square else np.zeros(2)
        if way.any():
            self._lay(stops, "linear", (*(start + first * way), *(start + last * way)), extend)

    def _radial(self, line: Any, places: tuple[float, ...]) -> None:
        stops, first, last, extend = _stops_of(line)
        one, two = np.array(places).reshape(2, 3)
        ends = [one + share * (two - one) for share in (first, last)]
        self._lay(stops, "radial", tuple(float(each) for each in np.concatenate(ends)), extend)

    def _sweep(self, line: Any, places: tuple[float, ...]) -> None:
        stops, first, last, extend = _stops_of(line)
        x, y, begin, end = places
        self._lay(stops, "sweep", (x, y, begin + first * (end - begin), begin + last * (end - begin)), extend)

    def _close(self, mode: Any) -> None:
        items = self.sheets.pop()
        self.sheets[-1].append(
            GlyphLayer(tuple(items), harfbuzz.PaintCompositeMode(mode).name.lower().replace("_", "-"))
        )


def _after(outer: Matrix, given: tuple[float, ...]) -> Matrix:
    """Return a transform put before another."""
    a, b, c, d, e, f = outer
    xx, yx, xy, yy, dx, dy = given
    return (
        a * xx + c * yx,
        b * xx + d * yx,
        a * xy + c * yy,
        b * xy + d * yy,
        a * dx + c * dy + e,
        b * dx + d * dy + f,
    )


def _stop(offset: float, colour: Any, own: bool) -> Stop:
    tint = (colour.red / 255, colour.green / 255, colour.blue / 255, colour.alpha / 255)
    return Stop(offset, tint, bool(own))


def _stops_of(line: Any) -> tuple[tuple[Stop, ...], float, float, str]:
    """Return a colour line's stops from 0 to 1, where on the gradient these lie, and how it goes on beyond."""
    given = sorted(line.color_stops, key=lambda stop: stop.offset)
    extend = harfbuzz.PaintExtend(line.extend).name.lower()
    if not given:
        return (), 0.0, 1.0, extend
    first, last = given[0].offset, given[-1].offset
    if math.isclose(first, last):
        # All in one place: one colour before it, another after it; repeated, nothing of them is seen but the last.
        last = first + 1e-6
    room = last - first
    return (
        tuple(_stop((stop.offset - first) / room, stop.color, stop.is_foreground) for stop in given),
        first,
        last,
        extend,
    )
