"""A region cut along the bands of a gradient, as strips, rings, slices of a cone or sectors (SVG 2, section 14.2)."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from ....plane.circles import chords_in
from ....plane.overlays import without
from ...outlines.crossing import NOTHING
from ...outlines.curves import Points
from ..seeing.inking import within
from ..seeing.marks import Colour
from ..styling.values import IDENTITY, Matrix, inverted, stretch

MOST_PERIODS = 100
"""Repetitions of one gradient across a region; more are finer than any printed line, and seen as one even tone."""

FARTHEST_PERIOD = 1 << 16
"""Periods beyond which a gradient is no longer looked for."""

Band = tuple[float, float, Colour]
"""From where to where along the gradient, and in which colour."""


@dataclass(frozen=True)
class Run:
    """A gradient in its own space: where the point at ``t`` along it lies, and the way to the paper."""

    bands: Sequence[Band]
    spread: str
    to_paper: Matrix
    tolerance: float


def cut_linear(run: Run, region: BaseGeometry, ends: Sequence[float]) -> list[tuple[BaseGeometry, Colour]]:
    """Cut a region into the bands of a linear gradient, strips square to its vector in the gradient's own space."""
    x1, y1, x2, y2 = ends
    start, vector = np.array([x1, y1]), np.array([x2 - x1, y2 - y1])
    normal = np.array([-vector[1], vector[0]])
    inside = _mapped(shapely.get_coordinates(region), inverted(run.to_paper) or IDENTITY) - start
    along = inside @ vector / (vector @ vector)
    across = inside @ normal / (vector @ vector)
    low, high, left, right = along.min() - 1, along.max() + 1, across.min() - 1, across.max() + 1
    pieces = []
    for begin, end, colour in _unrolled(run, along.min(), along.max()):
        from_t, to_t = max(begin, low), min(end, high)
        if to_t <= from_t:
            continue
        corners = [(from_t, left), (to_t, left), (to_t, right), (from_t, right)]
        strip = _mapped(np.array([start + t * vector + s * normal for t, s in corners]), run.to_paper)
        pieces.append((within(region, shapely.Polygon(strip)), colour))
    return pieces


def cut_radial(
    run: Run, region: BaseGeometry, circle: tuple[float, float, float], focus: tuple[float, float, float]
) -> list[tuple[BaseGeometry, Colour]]:
    """Cut a region into the bands of a radial gradient between two circles (SVG 2, section 14.2.3)."""
    (cx, cy, r), (fx, fy, fr) = circle, focus
    fr = max(fr, 0.0)
    reach = math.hypot(fx - cx, fy - cy)
    if reach > abs(r - fr) * (1 + 1e-6):
        return _cone(run, region, (cx, cy, r), (fx, fy, fr))
    if fr > r:
        # The rim lies inside the focal circle: the same gradient seen from its other end.
        bands = [(1 - end, 1 - begin, colour) for begin, end, colour in reversed(run.bands)]
        return _rings(replace(run, bands=bands), region, (fx, fy, fr), (cx, cy, r))
    return _rings(run, region, (cx, cy, r), (fx, fy, fr))


def _rings(
    run: Run, region: BaseGeometry, outer: tuple[float, float, float], inner: tuple[float, float, float]
) -> list[tuple[BaseGeometry, Colour]]:
    """Cut a region into rings between circles that grow from an inner one to an outer one that holds it."""
    (cx, cy, r), (fx, fy, fr) = outer, inner
    reach, room = math.hypot(fx - cx, fy - cy), (r - fr) * 0.999
    if reach > room:
        # Circles that touch leave a half-plane without paint; renderers move the focus a little inside.
        fx, fy = cx + (fx - cx) * room / reach, cy + (fy - cy) * room / reach
    fr = min(fr, r * 0.999)
    inside = _mapped(shapely.get_coordinates(region), inverted(run.to_paper) or IDENTITY)
    inner, outer = (fx, fy, fr), (cx, cy, r)

    def disc(t: float) -> BaseGeometry:
        x, y, radius = _between(inner, outer, t)
        return shapely.Polygon(_mapped(_circle(x, y, radius, run), run.to_paper))

    def holds_all(t: float) -> bool:
        x, y, radius = _between(inner, outer, t)
        return bool((np.hypot(inside[:, 0] - x, inside[:, 1] - y) <= radius).all())

    last = _first_period(holds_all)
    # Far off, no ring reaches the region before its nearest one.
    first = _first_period(lambda t: not disc(t).disjoint(region)) - 1 if last > MOST_PERIODS else 0
    pieces = []
    rest = region
    # Within the inner circle the gradient goes on to where the circles shrink to a point.
    low = float(first) if first > 0 else max(-fr / (r - fr), -MOST_PERIODS / 2)
    for _, end, colour in _unrolled(run, low, float(last)):
        x, y, radius = _between(inner, outer, min(end, 1e6))
        if end == math.inf:
            pieces.append((rest, colour))
        elif radius > 0:
            ring = shapely.Polygon(_mapped(_circle(x, y, radius, run), run.to_paper))
            pieces.append((within(rest, ring), colour))
            rest = _polygons_of(without(rest, ring))
    return pieces


def _first_period(reached: Callable[[float], bool]) -> int:
    """Return the first whole number of periods, from 1 on, at which something holds, which then goes on to hold."""
    high = 1
    while high < FARTHEST_PERIOD and not reached(high):
        high *= 2
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if reached(middle) else (middle, high)
    return high


def _cone(
    run: Run, region: BaseGeometry, end: tuple[float, float, float], start: tuple[float, float, float]
) -> list[tuple[BaseGeometry, Colour]]:
    """Cut a region into the bands between two circles neither of which holds the other; outside their cone is bare.

    Where several circles pass through a place, the one furthest along the gradient counts.
    """
    (cx, cy, r), (fx, fy, fr) = end, start
    inside = _mapped(shapely.get_coordinates(region), inverted(run.to_paper) or IDENTITY)
    away = float(np.hypot(inside[:, 0] - cx, inside[:, 1] - cy).max()) + r + fr
    reach = math.hypot(fx - cx, fy - cy)
    # Beyond these the circles have no radius, or lie so far off that nothing of the region is near them.
    low, high = -away / reach - 1, away / reach + 2
    if r > fr:
        low, high = max(low, -fr / (r - fr)), high * max(1.0, r / (reach - r + fr))
    elif r < fr:
        high, low = min(high, fr / (fr - r)), low * max(1.0, fr / (reach - fr + r))
    low, high = max(low, -1e4), min(high, 1e4)

    def ahead_of(t: float) -> BaseGeometry:
        """Return what the circles from ``t`` on cover."""
        ends = [_between(start, end, min(max(at, low), high)) for at in (t, high)]
        discs = [_circle(x, y, max(radius, 1e-9), run) for x, y, radius in ends]
        return shapely.MultiPoint(_mapped(np.concatenate(discs), run.to_paper)).convex_hull

    pieces = []
    rest = within(region, ahead_of(low))
    for begin, until, colour in _unrolled(run, low, high):
        if until <= low or begin >= high:
            continue
        further = ahead_of(until) if until < high else NOTHING
        pieces.append((_polygons_of(without(rest, further)), colour))
        rest = within(rest, further)
    return pieces


def cut_sweep(
    run: Run, region: BaseGeometry, middle: tuple[float, float], angles: tuple[float, float]
) -> list[tuple[BaseGeometry, Colour]]:
    """Cut a region into the sectors of a gradient that sweeps round a middle from one angle to another, rad.

    Angles grow with those of the gradient's own space, from its x axis once round (OpenType, PaintSweepGradient).
    """
    begin, end = angles
    inside = _mapped(shapely.get_coordinates(region), inverted(run.to_paper) or IDENTITY) - middle
    # The corners of a fan of chords up to half a radian wide, each of which still holds the whole region.
    reach = 1.1 * float(np.hypot(*inside.T).max()) + 1e-9
    room = end - begin if end != begin else 1e-9
    low, high = sorted((-begin / room, (2 * math.pi - begin) / room))
    pieces = []
    for first, last, colour in _unrolled(run, low, high):
        start, stop = (begin + room * min(max(t, low), high) for t in (first, last))
        if start == stop:
            continue
        fan = np.linspace(start, stop, math.ceil(abs(stop - start) / 0.5) + 1)
        corners = middle + reach * np.column_stack((np.cos(fan), np.sin(fan)))
        for one, other in itertools.pairwise(corners):
            sector = shapely.Polygon(_mapped(np.array([middle, one, other]), run.to_paper))
            pieces.append((within(region, sector), colour))
    return pieces


def _unrolled(run: Run, low: float, high: float) -> list[Band]:
    """Return the bands that cover the gradient from ``low`` to ``high``, repeated as its spread says."""
    if run.spread not in {"repeat", "reflect"}:
        return list(run.bands)
    if high - low > MOST_PERIODS:
        return [(-math.inf, math.inf, _even_tone(run.bands))]
    inside = [(max(begin, 0.0), min(end, 1.0), colour) for begin, end, colour in run.bands]
    inside = [band for band in inside if band[1] > band[0]]
    bands: list[Band] = []
    for period in range(math.floor(low), math.ceil(high)):
        if run.spread == "reflect" and period % 2:
            bands += [(period + 1 - end, period + 1 - begin, colour) for begin, end, colour in reversed(inside)]
        else:
            bands += [(period + begin, period + end, colour) for begin, end, colour in inside]
    return bands


def _even_tone(bands: Sequence[Band]) -> Colour:
    """Return the mean colour of a gradient from one end to the other."""
    inside = [(min(end, 1.0) - max(begin, 0.0), colour) for begin, end, colour in bands if end > 0 and begin < 1]
    red, green, blue, opacity = (sum(width * colour[at] for width, colour in inside) for at in range(4))
    return red, green, blue, opacity


def _between(
    first: tuple[float, float, float], last: tuple[float, float, float], t: float
) -> tuple[float, float, float]:
    """Return the circle at ``t`` of the way from one to another: x, y and radius."""
    x, y, radius = (a + t * (b - a) for a, b in zip(first, last, strict=True))
    return x, y, radius


def _circle(x: float, y: float, radius: float, run: Run) -> Points:
    on_paper = max(radius * stretch(run.to_paper), run.tolerance)
    count = min(chords_in(2 * math.pi, on_paper, run.tolerance, least=16), 4096)
    turn = 2 * math.pi * np.arange(count) / count
    return np.column_stack((x + radius * np.cos(turn), y + radius * np.sin(turn)))


def _polygons_of(region: BaseGeometry) -> BaseGeometry:
    return within(region, shapely.box(*region.bounds)) if not region.is_empty else region


def _mapped(points: Points, matrix: Matrix) -> Points:
    a, b, c, d, e, f = matrix
    mapped: Points = points @ np.array([[a, b], [c, d]]) + (e, f)
    return mapped
