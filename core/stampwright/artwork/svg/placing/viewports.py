"""Viewports: the page's size, and how a viewBox is fitted into the room it is given (SVG 2, chapter 8)."""

from __future__ import annotations

import re
from collections.abc import Callable

from ...outlines.numerals import numbers
from ..styling.values import IDENTITY, Matrix, length

_ON_PAPER = re.compile(r"[+]?[0-9.]+(?:e[+-]?[0-9]+)?(?:mm|cm|q|in|pt|pc)", re.IGNORECASE)

DEFAULT_PAGE = (300.0, 150.0)
"""px; the size of a picture that states neither size nor viewBox (CSS 2.2, section 10.3.2, replaced elements)."""


def page_size(
    given: Callable[[str], str | None],
    otherwise: Callable[[], tuple[float, float]] = lambda: DEFAULT_PAGE,
    type_size: Callable[[], float] = lambda: 16.0,
) -> tuple[float, float]:
    """Return width and height of the outermost ``svg``, px, from its attributes read by ``given``.

    A side that is missing, automatic or in per cent follows from the viewBox, without one from the size that
    ``otherwise`` returns; 0 where a side is not positive. ``type_size``: returns the
    type size of the ``svg``, px, which em refers to.
    """
    box = view_box(given("viewBox"))
    width, height = (
        _side(given(name), box[at] if box else None, type_size) for name, at in (("width", 2), ("height", 3))
    )
    if box and box[2] > 0 and box[3] > 0:
        if width is None and height is None:
            return box[2], box[3]
        if width is None and height is not None:
            width = height * box[2] / box[3]
        if height is None and width is not None:
            height = width * box[3] / box[2]
    if width is None or height is None:
        sides = otherwise()
        width, height = sides[0] if width is None else width, sides[1] if height is None else height
    return max(width, 0.0), max(height, 0.0)


def states_true_size(given: Callable[[str], str | None]) -> bool:
    """Return whether the outermost ``svg`` states a side in a unit of length on paper: mm, cm, Q, in, pt or pc."""
    return any(_ON_PAPER.fullmatch((given(name) or "").strip()) for name in ("width", "height"))


def view_box(text: str | None) -> tuple[float, float, float, float] | None:
    """Return min-x, min-y, width and height, or None when absent or wrong (a negative size makes it wrong)."""
    values = numbers(text)
    if len(values) != 4 or values[2] < 0 or values[3] < 0:
        return None
    return values[0], values[1], values[2], values[3]


def fitting(
    box: tuple[float, float, float, float] | None, aspect: str | None, width: float, height: float
) -> Matrix | None:
    """Return the matrix that fits ``box`` into a viewport of ``width`` by ``height``; None when it shows nothing.

    ``aspect`` is preserveAspectRatio (SVG 2, section 8.6).
    """
    if box is None:
        return IDENTITY
    x, y, box_width, box_height = box
    if box_width == 0 or box_height == 0:
        return None
    words = (aspect or "").replace("defer", "").split() or ["xMidYMid"]
    across, up = width / box_width, height / box_height
    if words[0] == "none":
        return across, 0.0, 0.0, up, -x * across, -y * up
    scale = max(across, up) if "slice" in words[1:] else min(across, up)
    align = words[0] if len(words[0]) == 8 else "xMidYMid"
    shares = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    left = (width - box_width * scale) * shares.get(align[1:4], 0.5)
    top = (height - box_height * scale) * shares.get(align[5:8], 0.5)
    return scale, 0.0, 0.0, scale, left - x * scale, top - y * scale


def _side(text: str | None, of_box: float | None, type_size: Callable[[], float]) -> float | None:
    if text is None or text.strip() == "auto":
        return None
    if text.strip().endswith("%"):
        return None if of_box is None else length(text, whole=of_box)
    by_type = text.strip().lower().endswith(("em", "ex"))
    return length(text, font_size=type_size() if by_type else 16.0)
