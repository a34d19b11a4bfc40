"""Gradients as bands of one colour each, cut exactly where the paint turns from dark to light on white paper."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from ..outlines.curves import Points
from ..painting.clipping import bounding_box, unit_box
from ..painting.place import Place
from ..painting.sheet import Sheet, home_place
from ..seeing.inking import HALF, luminance, within
from ..seeing.marks import Colour, Item, Mark
from ..source.document import Element
from ..styling.cascade import own_value
from ..styling.values import IDENTITY, Matrix, inverted, length, multiplied, stretch, transform
from .colours import BLACK, WHITE, plain_colour, share

STEPS = 48
"""Bands for a change from 0 to 1 in a colour, where what else is painted decides about dark and light."""

MOST_PERIODS = 100
"""Repetitions of one gradient across a region; more are finer than any printed line, and seen as one even tone."""

Stop = tuple[float, Colour]
Band = tuple[float, float, Colour]
"""From where to where along the gradient, and in which colour."""


@dataclass(frozen=True)
class _Run:
    """A gradient in its own space: where the point at ``t`` along it lies, and the way to the paper."""

    bands: Sequence[Band]
    spread: str
    to_paper: Matrix
    tolerance: float


def gradient_marks(
    sheet: Sheet, gradient: Element, element: Element, place: Place, laid_on: tuple[BaseGeometry, float]
) -> list[Item]:
    """Return a region filled by a gradient (SVG 2, section 14.2); ``laid_on``: the region, mm, and an opacity."""
    region, opacity = laid_on
    chain = sheet.referring_chain(gradient)
    stops = _stops(sheet, chain, place)
    if not stops:
        return []
    red, green, blue, last = stops[-1][1]
    whole = [Mark(region, (red, green, blue, last * opacity), place.clip)]
    if len(stops) == 1:
        return list(whole)

    def given(name: str) -> str | None:
        return next((link.attrib[name] for link in chain if name in link.attrib), None)

    own = transform(given("gradientTransform") or "") or IDENTITY
    by_box = given("gradientUnits") != "userSpaceOnUse"
    if by_box:
        box = bounding_box(sheet, element, place)
        if box is None:
            return []
        own = multiplied(unit_box(box), own)
    to_paper = multiplied(place.matrix, own)
    if inverted(to_paper) is None:
        return list(whole)

    def measure(name: str, default: str, direction: str) -> float:
        text = given(name) or default
        measured = length(text, whole=1.0) if by_box else place.length(text, direction)
        return measured if measured is not None else 0.0

    exact = place.solid and opacity == 1 and all(colour[3] == 1 for _, colour in stops)
    run = _Run(_bands(stops, opacity, exact), given("spreadMethod") or "pad", to_paper, sheet.tolerance)
    if chain[0].name == "linearGradient":
        ends = [measure(*ask) for ask in (("x1", "0%", "x"), ("y1", "0%", "y"), ("x2", "100%", "x"), ("y2", "0%", "y"))]
        pieces = None if ends[:2] == ends[2:] else _linear(run, region, ends)
    else:
        cx, cy, r = measure("cx", "50%", "x"), measure("cy", "50%", "y"), measure("r", "50%", "xy")
        fx = measure("fx", "", "x") if given("fx") else cx
        fy = measure("fy", "", "y") if given("fy") else cy
        pieces = None if r <= 0 else _radial(run, region, (cx, cy, r), (fx, fy, measure("fr", "0%", "xy")))
    if pieces is None:
        return list(whole)
    return [Mark(piece, colour, place.clip) for piece, colour in pieces if colour[3] > 0 and not piece.is_empty]


def _stops(sheet: Sheet, chain: Sequence[Element], place: Place) -> list[Stop]:
    """Return the stops in order, offsets never going back (SVG 2, section 14.2.4)."""
    holder = next((link for link in chain if any(child.name == "stop" for child in link.children)), None)
    stops: list[Stop] = []
    for child in holder.children if holder else ():
        if child.name != "stop":
            continue
        declared = sheet.cascade.declared(child)
        home = home_place(sheet, child, place).styled(declared)
        red, green, blue, opacity = plain_colour(own_value(declared, {}, "stop-color"), home) or BLACK
        opacity *= share(own_value(declared, {}, "stop-opacity"))
        offset = max(share(child.attrib.get("offset"), 0.0), stops[-1][0] if stops else 0.0)
        stops.append((offset, (red, green, blue, opacity)))
    return stops


def _bands(stops: Sequence[Stop], opacity: float, exact: bool) -> list[Band]:
    """Return bands from one end of the gradient to the other, the ends drawn out to infinity.

    ``exact``: only dark and light count, so that two bands may do for a long blend.
    """
    faded = [(offset, (*colour[:3], colour[3] * opacity)) for offset, colour in stops]
    bands: list[Band] = [(-math.inf, faded[0][0], faded[0][1])]
    for (begin, first), (end, last) in itertools.pairwise(faded):
        if end <= begin:
            continue
        change = max(abs(a - b) for a, b in zip(first, last, strict=True))
        cuts = {0.0, 1.0, *_crossings(first, last)}
        if not exact:
            cuts.update(np.linspace(0, 1, math.ceil(change * STEPS) + 1).tolist())
        places = sorted(cuts)
        for low, high in itertools.pairwise(places):
            red, green, blue, alpha = (a + (b - a) * (low + high) / 2 for a, b in zip(first, last, strict=True))
            bands.append((begin + (end - begin) * low, begin + (end - begin) * high, (red, green, blue, alpha)))
    bands.append((faded[-1][0], math.inf, faded[-1][1]))
    if exact:
        bands = [(low, high, BLACK if luminance(colour) < HALF else WHITE) for low, high, colour in bands]
    merged = bands[:1]
    for low, high, colour in bands[1:]:
        if colour == merged[-1][2]:
            merged[-1] = (merged[-1][0], high, colour)
        else:
            merged.append((low, high, colour))
    return merged


def _crossings(first: Colour, last: Colour) -> list[float]:
    """Return where between two stops the paint, over white, passes half luminance."""
    a, b = first[3], last[3] - first[3]
    c, d = luminance(first), luminance(last) - luminance(first)
    # Seen over white: opacity times luminance, plus what the paper adds; both change evenly along the way.
    roots = np.roots([b * d, a * d + b * c - b, a * c - a + 1 - HALF])
    return [float(root.real) for root in roots if abs(root.imag) < 1e-12 and 0 < root.real < 1]


def _unrolled(run: _Run, low: float, high: float) -> list[Band]:
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


def _linear(run: _Run, region: BaseGeometry, ends: Sequence[float]) -> list[tuple[BaseGeometry, Colour]]:
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


def _radial(
    run: _Run, region: BaseGeometry, circle: tuple[float, float, float], focus: tuple[float, float, float]
) -> list[tuple[BaseGeometry, Colour]]:
    """Cut a region into the bands of a radial gradient, rings between circles that grow from focus to rim."""
    cx, cy, r = circle
    fx, fy, fr = focus
    reach = math.hypot(fx - cx, fy - cy)
    if reach > r * 0.999:
        # A focus on or beyond the rim is moved just inside, as SVG 1.1, section 13.2.3, has it.
        fx, fy = cx + (fx - cx) * r * 0.999 / reach, cy + (fy - cy) * r * 0.999 / reach
    fr = min(max(fr, 0.0), r * 0.999)
    inside = _mapped(shapely.get_coordinates(region), inverted(run.to_paper) or IDENTITY)

    def middle_and_radius(t: float) -> tuple[float, float, float]:
        return fx + t * (cx - fx), fy + t * (cy - fy), fr + t * (r - fr)

    def holds_all(t: float) -> bool:
        x, y, radius = middle_and_radius(t)
        return bool((np.hypot(inside[:, 0] - x, inside[:, 1] - y) <= radius).all())

    last = 1
    while last <= MOST_PERIODS and not holds_all(last):
        last += 1
    pieces = []
    rest = region
    for _, end, colour in _unrolled(run, 0.0, float(last)):
        x, y, radius = middle_and_radius(min(end, 1e6))
        if end == math.inf:
            pieces.append((rest, colour))
        elif radius > 0 and end > 0:
            disc = shapely.Polygon(_mapped(_circle(x, y, radius, run), run.to_paper))
            pieces.append((within(rest, disc), colour))
            rest = _polygons_of(rest.difference(disc))
    return pieces


def _circle(x: float, y: float, radius: float, run: _Run) -> Points:
    on_paper = max(radius * stretch(run.to_paper), run.tolerance)
    sagitta = min(max(run.tolerance / on_paper, 1e-9), 1.0)
    count = int(np.clip(math.ceil(math.pi / math.acos(1 - sagitta)), 16, 4096))
    turn = 2 * math.pi * np.arange(count) / count
    return np.column_stack((x + radius * np.cos(turn), y + radius * np.sin(turn)))


def _polygons_of(region: BaseGeometry) -> BaseGeometry:
    return within(region, shapely.box(*region.bounds)) if not region.is_empty else region


def _mapped(points: Points, matrix: Matrix) -> Points:
    a, b, c, d, e, f = matrix
    mapped: Points = points @ np.array([[a, b], [c, d]]) + (e, f)
    return mapped
