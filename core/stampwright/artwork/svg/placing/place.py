"""Where and how an element is drawn: everything that it takes over from what holds it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from shapely.geometry.base import BaseGeometry

from ..styling.cascade import Declared, inherited_style
from ..styling.properties import INHERITED
from ..styling.values import IDENTITY, Matrix, length, multiplied, stretch

Purpose = Literal["paint", "clip", "measure"]

_SIZES = {
    "xx-small": 9.0,
    "x-small": 10.0,
    "small": 13.0,
    "medium": 16.0,
    "large": 18.0,
    "x-large": 24.0,
    "xx-large": 32.0,
}
"""px (CSS Fonts 4, section 2.5, at a medium size of 16 px)."""


@dataclass(frozen=True)
class Place:
    """The inherited side of drawing an element.

    ``matrix``: user units to mm in the paper frame. ``style``: inherited property values. ``declared``: what the
    element declares itself. ``font_size``: px. ``viewport``: width and height that percentages refer to, px.
    ``clip``: what is shown, mm, paper frame, None for all. ``purpose``: to paint, to find what a clip path shows, or to
    measure a bounding box. ``chain``: the elements being drawn by reference now.
    ``solid``: no layer holds the element, so that an opaque paint's dark and light is final.
    ``context``: fill and stroke of the element that refers here, for ``context-fill`` and ``context-stroke``.
    ``given_size``: width and height that a ``use`` gives the ``svg`` or ``symbol`` it refers to; None for all else.
    """

    matrix: Matrix = IDENTITY
    style: Declared = field(default_factory=lambda: dict(INHERITED))
    declared: Declared = field(default_factory=dict)
    font_size: float = 16.0
    viewport: tuple[float, float] = (0.0, 0.0)
    clip: BaseGeometry | None = None
    purpose: Purpose = "paint"
    chain: frozenset[int] = frozenset()
    solid: bool = True
    context: tuple[str, str] = ("none", "none")
    given_size: dict[str, str] | None = None

    @cached_property
    def magnification(self) -> float:
        """The most by which a user unit is enlarged, mm for each unit."""
        return stretch(self.matrix)

    @property
    def diagonal(self) -> float:
        """What percentages refer to that are neither across nor up, px (SVG 2, section 8.9)."""
        return math.hypot(*self.viewport) / math.sqrt(2)

    def length(self, text: str | None, direction: str = "xy") -> float | None:
        """Return a length in user units; ``direction``: x, y or xy, for percentages."""
        whole = {"x": self.viewport[0], "y": self.viewport[1]}.get(direction, self.diagonal)
        return length(text, whole=whole, font_size=self.font_size, viewport=whole)

    def styled(self, declared: Declared) -> Place:
        """Return the place of an element that declares ``declared``."""
        if not declared:
            return self if not self.declared else replace(self, declared={})
        size = self.font_size
        if "font-size" in declared:
            size = _font_size(declared["font-size"].strip().lower(), size)
        return replace(self, style=inherited_style(self.style, declared), declared=declared, font_size=size)

    def within(self, width: float, height: float) -> Place:
        """Return the place with a viewport of this size, user units."""
        return replace(self, viewport=(width, height), given_size=None)

    def moved(self, matrix: Matrix) -> Place:
        """Return the place with ``matrix`` applied inside it."""
        return self if matrix == IDENTITY else replace(self, matrix=multiplied(self.matrix, matrix))


def _font_size(text: str, parent: float) -> float:
    if text in _SIZES:
        return _SIZES[text]
    if text in {"larger", "smaller"}:
        return parent * 1.2 if text == "larger" else parent / 1.2
    size = length(text, whole=parent, font_size=parent)
    return parent if size is None or size < 0 else size
