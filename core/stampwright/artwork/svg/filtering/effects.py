"""What the filter property of an element does to what it paints: a chain of filters and functions, on pixels."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import shapely
import tinycss2
from numpy.typing import NDArray

from ....looks.light import LUMINANCE
from ...colours import COLOUR_LEFT_OUT, NEAR_PAPER
from ...limits import beyond
from ..painting.rasters import raster_marks
from ..painting.sheet import Sheet
from ..paints.colours import plain_colour
from ..placing.boxes import bounding_box
from ..placing.place import Place
from ..seeing.inking import HALF, marks_of
from ..seeing.marks import Item
from ..source.document import Element
from ..styling.values import Matrix, degrees, inverted, length, multiplied, number
from . import primitives
from .canvas import Pixels, painted
from .graph import Graph, PixelRoom, read_graph

Effect = Callable[[list[Item]], list[Item]]
"""Turns what an element paints into what is seen of it."""

ACROSS = 640
"""Pixels along the longer side of what a filter covers; finer ones would show on no stamp."""

_Change = Callable[[Pixels, PixelRoom], Pixels]


def effect_of(sheet: Sheet, element: Element, place: Place, value: str) -> Effect | None:
    """Return what the filter property ``value`` does; None where it does nothing or cannot be followed."""
    steps = _steps(sheet, element, place, value)
    back = inverted(place.matrix)
    if not steps or back is None:
        return None

    def effect(items: list[Item]) -> list[Item]:
        painted_here = [mark.region for mark in marks_of(items)]
        regions = [shapely.total_bounds(painted_here)] if painted_here else []
        room = _room(steps, regions, back)
        if room is None:
            return []
        to_pixels = multiplied((room.scale, 0, 0, room.scale, -room.left * room.scale, -room.top * room.scale), back)
        pixels = painted(items, to_pixels, room.size)
        for step in steps:
            sheet.filtered += step.count if isinstance(step, Graph) else 1
            if sheet.filtered > sheet.limits.most_filters:
                raise beyond("most_filters", "more filter primitives are worked out than allowed", sheet.limits)
            pixels = step.applied(pixels, room) if isinstance(step, Graph) else step[0](pixels, room)
        lit = (pixels[..., :3] @ LUMINANCE).astype(np.float32)
        over_white = lit + (1 - pixels[..., 3]).astype(np.float32)
        _note_light(sheet, element, over_white)
        at = place.moved((1 / room.scale, 0.0, 0.0, 1 / room.scale, room.left, room.top))
        return raster_marks(sheet, element, at, (over_white, lit))

    return effect


def _note_light(sheet: Sheet, element: Element, over_white: NDArray[np.float32]) -> None:
    """Tell of an element most of which a filter leaves too light to be ink; the edge of a shadow is no matter."""
    seen = over_white < 1 - NEAR_PAPER
    light = seen & (over_white >= HALF)
    if not sheet.toned and 2 * light.sum() > seen.sum():
        sheet.notes.add(
            COLOUR_LEFT_OUT,
            "what a filter leaves lighter than half is no ink and left out",
            element,
            remedy="If it shall print, let the filter leave it darker, or screen tones (tracing.tone).",
        )


def _room(steps: Sequence[Graph | tuple[_Change, float]], regions: Sequence[Any], back: Matrix) -> PixelRoom | None:
    """Return the room that filters work in: their own regions, and what functions reach beyond what is painted."""
    boxes = [step.region for step in steps if isinstance(step, Graph)]
    margin = sum(step[1] for step in steps if not isinstance(step, Graph))
    if regions and not all(isinstance(step, Graph) for step in steps):
        a, b, c, d, e, f = back
        left, bottom, right, top = (float(side) for side in regions[0])
        corners = np.array([(x, y) for x in (left, right) for y in (bottom, top)]) @ np.array([[a, b], [c, d]]) + (e, f)
        boxes.append((*(corners.min(axis=0) - margin).tolist(), *(corners.max(axis=0) + margin).tolist()))
    if not boxes:
        return None
    low, high = np.min([box[:2] for box in boxes], axis=0), np.max([box[2:] for box in boxes], axis=0)
    wide, tall = (float(side) for side in high - low)
    if not (wide > 0 and tall > 0 and math.isfinite(wide * tall)):
        return None
    scale = ACROSS / max(wide, tall)
    return PixelRoom(float(low[0]), float(low[1]), scale, (max(1, round(tall * scale)), max(1, round(wide * scale))))


def _steps(sheet: Sheet, element: Element, place: Place, value: str) -> list[Graph | tuple[_Change, float]] | None:
    """Return filters and functions in order; None when one of them cannot be followed."""
    steps: list[Graph | tuple[_Change, float]] = []
    for token in tinycss2.parse_component_value_list(value, skip_comments=True):
        if token.type == "whitespace":
            continue
        step: Graph | tuple[_Change, float] | None = None
        if token.type == "url" or (token.type == "function" and token.lower_name == "url"):
            link = token.value if token.type == "url" else tinycss2.serialize(token.arguments).strip("'\" ")
            filtering = sheet.referred(link)
            if filtering is None or filtering.name != "filter":
                # A filter that is not there leaves the element as it is (Filter Effects 1, section 5).
                return None
            step = read_graph(sheet, filtering, place, bounding_box(sheet, element, place))
        elif token.type == "function":
            step = _function(token, place)
        if step is None:
            sheet.notes.add(
                "filter left out", "a filter is not applied", element, remedy="Flatten it in the drawing program."
            )
            return None
        steps.append(step)
    return steps


def _function(token: Any, place: Place) -> tuple[_Change, float] | None:
    """Return a filter function (Filter Effects 1, section 13.1) and how far it reaches, user units."""
    words = [tinycss2.serialize([part]) for part in token.arguments if part.type not in {"whitespace", "literal"}]
    name = token.lower_name
    if name == "blur":
        sigma = place.length(words[0]) if words else 0.0
        if sigma is None or sigma < 0:
            return None
        return (lambda pixels, room: primitives.blur(pixels, sigma * room.scale, sigma * room.scale)), 3 * sigma
    if name == "drop-shadow":
        return _drop_shadow(words, place)
    if name == "hue-rotate":
        turned = primitives.turning(degrees(words[0]) if words else 0.0)
        return (lambda pixels, _: primitives.by_matrix(pixels, turned)), 0.0
    amount = number(words[0], -1.0) if words else 1.0
    change = _plain_function(name, amount) if amount >= 0 else None
    return None if change is None else ((lambda pixels, _: change(pixels)), 0.0)


def _plain_function(name: str, amount: float) -> Callable[[Pixels], Pixels] | None:
    share = min(amount, 1.0)
    matrices: dict[str, Callable[[], primitives.Numbers]] = {
        "grayscale": lambda: primitives.saturating(1 - share),
        "saturate": lambda: primitives.saturating(amount),
        "sepia": lambda: primitives.sepia(share),
        "brightness": lambda: np.diag([amount, amount, amount, 1.0, 0.0])[:4],
        "opacity": lambda: np.diag([1.0, 1.0, 1.0, share, 0.0])[:4],
        "invert": lambda: _even(1 - 2 * share, share),
        "contrast": lambda: _even(amount, 0.5 - 0.5 * amount),
    }
    if name not in matrices:
        return None
    matrix = matrices[name]()
    return lambda pixels: primitives.by_matrix(pixels, matrix)


def _even(slope: float, intercept: float) -> primitives.Numbers:
    matrix = np.diag([slope, slope, slope, 1.0, 0.0])[:4]
    matrix[:3, 4] = intercept
    return matrix


def _drop_shadow(words: Sequence[str], place: Place) -> tuple[_Change, float] | None:
    lengths = [size for word in words if (size := length(word, font_size=place.font_size)) is not None]
    colours = [found for word in words if length(word) is None and (found := plain_colour(word, place)) is not None]
    if not 2 <= len(lengths) <= 3:
        return None
    dx, dy, sigma = (*lengths, 0.0)[:3]
    colour = colours[0] if colours else plain_colour("currentcolor", place) or (0.0, 0.0, 0.0, 1.0)

    def change(pixels: Pixels, room: PixelRoom) -> Pixels:
        return primitives.drop_shadow(pixels, colour, (dx * room.scale, dy * room.scale), (sigma * room.scale,) * 2)

    return change, max(abs(dx), abs(dy)) + 3 * max(sigma, 0.0)
