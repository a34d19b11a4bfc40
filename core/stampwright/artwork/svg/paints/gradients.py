"""Gradients as bands of one colour each, cut exactly where the paint turns from dark to light on white paper."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry.base import BaseGeometry

from ..painting.sheet import Sheet, home_place
from ..placing.boxes import bounding_box, unit_box
from ..placing.place import Place
from ..placing.transforms import FARTHEST, about_origin
from ..seeing.inking import HALF, luminance
from ..seeing.marks import Colour, Item, Painted
from ..source.document import Element
from ..styling.cascade import own_value
from ..styling.values import IDENTITY, Matrix, inverted, length, multiplied, transform
from .bands import Band, Run, cut_linear, cut_radial
from .colours import BLACK, WHITE, plain_colour, share

STEPS = 96
"""Bands for a change from 0 to 1 in a colour, where what else is painted decides about dark and light."""

_OF_THE_OTHER_KIND = {
    "linearGradient": frozenset(("cx", "cy", "r", "fx", "fy", "fr")),
    "radialGradient": frozenset(("x1", "y1", "x2", "y2")),
}
"""Attributes that a gradient has for nothing, being the other kind's (SVG 2, section 14.2)."""

Stop = tuple[float, Colour]


def gradient_marks(
    sheet: Sheet, gradient: Element, element: Element, place: Place, laid_on: tuple[BaseGeometry, float]
) -> list[Item] | None:
    """Return a region filled by a gradient (SVG 2, section 14.2); ``laid_on``: the region, mm, and an opacity.

    None where it cannot be laid: on a box without extent that its units refer to, or flattened by its transform.
    """
    region, opacity = laid_on
    chain = sheet.referring_chain(gradient)
    stops = _stops(sheet, chain, place)
    if not stops:
        return []

    drawn = _DrawnGradient(chain, home_place(sheet, gradient, place).styled(sheet.cascade.declared(gradient)))
    to_paper = _way_to_paper(sheet, drawn, element, place)
    if to_paper is None:
        return None
    red, green, blue, last = stops[-1][1]
    whole = [Painted(region, (red, green, blue, last * opacity), place.clip)]
    if len(stops) == 1:
        return list(whole)
    exact = place.solid and opacity == 1 and all(colour[3] == 1 for _, colour in stops)
    sheet.two_toned |= exact
    run = Run(bands_of(stops, opacity, exact), drawn.given("spreadMethod") or "pad", to_paper, sheet.tolerance)
    pieces = _cut(run, region, drawn)
    if pieces is None:
        return list(whole)
    return [Painted(piece, colour, place.clip) for piece, colour in pieces if colour[3] > 0 and not piece.is_empty]


@dataclass(frozen=True)
class _DrawnGradient:
    """A gradient as it is written: with those it takes attributes from, and where it lies in the file."""

    chain: Sequence[Element]
    home: Place

    def given(self, name: str) -> str | None:
        """Return an attribute of it, or of the first that it takes attributes from."""
        # One kind has nothing to hand to the other but stops, units, transform and spread.
        foreign = _OF_THE_OTHER_KIND
        return next(
            (
                link.attrib[name]
                for link in self.chain
                if name in link.attrib and name not in foreign.get(link.name, ())
            ),
            None,
        )

    @property
    def by_box(self) -> bool:
        """Whether it is measured by the box of what it fills."""
        return self.given("gradientUnits") != "userSpaceOnUse"

    def measure(self, name: str, default: str, direction: str) -> float:
        """Return a length or place in the gradient's own space."""
        for text in (self.given(name), default):
            measured = length(text, whole=1.0) if self.by_box else self.home.length(text, direction)
            if measured is not None:
                return measured
        return 0.0


def _way_to_paper(sheet: Sheet, drawn: _DrawnGradient, element: Element, place: Place) -> Matrix | None:
    """Return the way from the gradient's own space to the paper; None where there is none, or no way back."""
    own = transform(drawn.given("gradientTransform") or "") or IDENTITY
    own = about_origin(sheet, drawn.chain[0], place, own)
    if drawn.by_box:
        box = bounding_box(sheet, element, place)
        if box is None:
            return None
        own = multiplied(unit_box(box), own)
    to_paper = multiplied(place.matrix, own)
    return None if inverted(to_paper) is None or max(map(abs, own)) > FARTHEST else to_paper


def _cut(run: Run, region: BaseGeometry, drawn: _DrawnGradient) -> list[tuple[BaseGeometry, Colour]] | None:
    """Return the region cut into bands; None where the gradient has no extent, and its last colour fills all."""
    measure, given = drawn.measure, drawn.given
    if drawn.chain[0].name == "linearGradient":
        ends = [measure(*ask) for ask in (("x1", "0%", "x"), ("y1", "0%", "y"), ("x2", "100%", "x"), ("y2", "0%", "y"))]
        return None if ends[:2] == ends[2:] else cut_linear(run, region, ends)
    cx, cy, r = measure("cx", "50%", "x"), measure("cy", "50%", "y"), measure("r", "50%", "xy")
    fx = measure("fx", "", "x") if given("fx") else cx
    fy = measure("fy", "", "y") if given("fy") else cy
    return None if r <= 0 else cut_radial(run, region, (cx, cy, r), (fx, fy, measure("fr", "0%", "xy")))


def _stops(sheet: Sheet, chain: Sequence[Element], place: Place) -> list[Stop]:
    """Return the stops in order, offsets never going back (SVG 2, section 14.2.4)."""
    holder = next((link for link in chain if any(child.name == "stop" for child in link.children)), None)
    if holder is None:
        return []
    stops: list[Stop] = []
    around = sheet.cascade.declared_in(holder, place.style)
    for child in holder.children:
        if child.name != "stop":
            continue
        home = home_place(sheet, child, place).styled(sheet.cascade.declared(child))
        declared = home.declared
        red, green, blue, opacity = plain_colour(own_value(declared, around, "stop-color"), home) or BLACK
        opacity *= share(own_value(declared, around, "stop-opacity"))
        offset = max(share(child.attrib.get("offset"), 0.0), stops[-1][0] if stops else 0.0)
        stops.append((offset, (red, green, blue, opacity)))
    return stops


def bands_of(stops: Sequence[Stop], opacity: float, exact: bool) -> list[Band]:
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
