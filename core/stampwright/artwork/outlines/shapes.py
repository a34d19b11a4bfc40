"""Basic shapes as outlines (SVG 2, chapter 10)."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from .arcs import ellipse_steps
from .curves import LINE, MOVE, Outline, Step, outline_from_steps
from .numerals import numbers

Measure = Callable[[str, str], float | None]
"""Reads a geometry property in user units, given its name and the direction its percentages refer to: x, y or xy."""

_QUARTER = math.pi / 2
_STRANGE = re.compile(r"[^\s\d,.+\-eE]")


def rectangle(measure: Measure) -> Outline:
    """Return a ``rect``, with rounded corners where asked; empty when a side is not positive."""
    x, y = measure("x", "x") or 0.0, measure("y", "y") or 0.0
    width, height = measure("width", "x") or 0.0, measure("height", "y") or 0.0
    if width <= 0 or height <= 0:
        return outline_from_steps([], [])
    rx, ry = _radii(measure)
    return rounded_box(x, y, width, height, rx=min(rx, width / 2), ry=min(ry, height / 2))


def rounded_box(x: float, y: float, width: float, height: float, *, rx: float = 0.0, ry: float = 0.0) -> Outline:
    """Return a rectangle with elliptical corners."""
    right, bottom = x + width, y + height
    if rx <= 0 or ry <= 0:
        return polyline([x, y, right, y, right, bottom, x, bottom], closed=True)
    steps: list[Step] = [_move(x + rx, y)]
    for corner_x, corner_y, first, end_x, end_y in (
        (right - rx, y + ry, -_QUARTER, right, y + ry),
        (right - rx, bottom - ry, 0.0, right - rx, bottom),
        (x + rx, bottom - ry, _QUARTER, x, bottom - ry),
        (x + rx, y + ry, 2 * _QUARTER, x + rx, y),
    ):
        begin_x, begin_y = corner_x + rx * round(math.cos(first)), corner_y + ry * round(math.sin(first))
        last_x, last_y = steps[-1][7:]
        if (last_x, last_y) != (begin_x, begin_y):
            steps.append(_line(last_x, last_y, begin_x, begin_y))
        steps.extend(
            ellipse_steps((corner_x, corner_y), (rx, ry), first, _QUARTER, begin=(begin_x, begin_y), end=(end_x, end_y))
        )
    return outline_from_steps(steps, [True])


def ellipse(measure: Measure) -> Outline:
    """Return an ``ellipse``; empty when a radius is not positive."""
    rx, ry = _radii(measure)
    return _whole_ellipse(measure("cx", "x") or 0.0, measure("cy", "y") or 0.0, rx, ry)


def circle(measure: Measure) -> Outline:
    """Return a ``circle``; empty when its radius is not positive."""
    radius = measure("r", "xy") or 0.0
    return _whole_ellipse(measure("cx", "x") or 0.0, measure("cy", "y") or 0.0, radius, radius)


def line(measure: Measure) -> Outline:
    """Return a ``line``."""
    ends = [measure(name, name[0]) or 0.0 for name in ("x1", "y1", "x2", "y2")]
    return polyline(ends, closed=False)


def points_list(text: str | None, *, closed: bool) -> tuple[Outline, str]:
    """Return a ``polyline`` or ``polygon``, and what is wrong with its points ("" when nothing is).

    They are drawn up to the first error, like path data (SVG 2, section 10.6).
    """
    text = text or ""
    strange = _STRANGE.search(text)
    values = numbers(text[: strange.start()] if strange else text)
    odd = len(values) % 2 == 1
    wrong = f"unreadable character {strange[0]!r}" if strange else "an odd count of numbers" if odd else ""
    return polyline(values[:-1] if odd else values, closed=closed), wrong


def polyline(values: list[float], *, closed: bool) -> Outline:
    """Return straight lines through the points x0, y0, x1, y1 and so on."""
    if len(values) < 2:
        return outline_from_steps([], [])
    x0, y0 = values[:2]
    steps = [_move(x0, y0)]
    for x, y in zip(values[2::2], values[3::2], strict=True):
        steps.append(_line(x0, y0, x, y))
        x0, y0 = x, y
    if closed and (x0, y0) != (values[0], values[1]):
        steps.append(_line(x0, y0, values[0], values[1]))
    return outline_from_steps(steps, [closed])


def _whole_ellipse(cx: float, cy: float, rx: float, ry: float) -> Outline:
    if rx <= 0 or ry <= 0:
        return outline_from_steps([], [])
    start = (cx + rx, cy)
    steps = [_move(*start), *ellipse_steps((cx, cy), (rx, ry), 0.0, 4 * _QUARTER, begin=start, end=start)]
    return outline_from_steps(steps, [True])


def _radii(measure: Measure) -> tuple[float, float]:
    """Return both radii; one that is missing or negative takes the other's value (SVG 2, section 7.4)."""
    rx, ry = measure("rx", "x"), measure("ry", "y")
    rx = None if rx is not None and rx < 0 else rx
    ry = None if ry is not None and ry < 0 else ry
    if rx is None:
        rx = ry
    if ry is None:
        ry = rx
    return rx or 0.0, ry or 0.0


def _move(x: float, y: float) -> Step:
    return (MOVE, x, y, x, y, x, y, x, y)


def _line(x0: float, y0: float, x: float, y: float) -> Step:
    return (LINE, x0, y0, x0, y0, x, y, x, y)
