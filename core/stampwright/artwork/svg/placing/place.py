"""Where and how an element is drawn: everything that it takes over from what holds it."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal

from shapely.geometry.base import BaseGeometry

from ....findings import Finding
from ...fonts import Font, find_font, varied, zero_width
from ...outlines.numerals import NUMBER
from ..source.document import Element
from ..styling.cascade import inherited_style
from ..styling.properties import INHERITED, Declared
from ..styling.values import IDENTITY, Matrix, length, multiplied, number, stretch
from ..styling.variables import with_variables

Purpose = Literal["paint", "clip", "measure", "extent"]

_WEIGHTS = {"normal": 400.0, "bold": 700.0, "bolder": 700.0, "lighter": 300.0}

_STRETCHES = {
    "ultra-condensed": 50.0,
    "extra-condensed": 62.5,
    "condensed": 75.0,
    "semi-condensed": 87.5,
    "normal": 100.0,
    "semi-expanded": 112.5,
    "expanded": 125.0,
    "extra-expanded": 150.0,
    "ultra-expanded": 200.0,
}
"""Per cent (CSS Fonts 4, section 2.3)."""

_AXIS = re.compile(rf"['\"](.{{4}})['\"]\s+({NUMBER})")
"""One axis of font-variation-settings (CSS Fonts 4, section 6.12)."""

_HANDED_ON = frozenset(
    ("kerning", "letter-spacing", "stroke-dasharray", "stroke-dashoffset", "stroke-width", "word-spacing")
)
"""Lengths that an element hands on to those inside it, as they are measured by its own type (CSS Cascade 4, 4.4)."""

_BY_TYPE = re.compile(r"^[^%]*\d(?:em|ex|ch)\b[^%]*$", re.IGNORECASE)

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
class Context:
    """The element that refers here, whose paints ``context-fill`` and ``context-stroke`` stand for, and its place."""

    element: Element
    place: Place


@dataclass(frozen=True)
class Place:
    """The inherited side of drawing an element.

    ``matrix``: user units to mm in the paper frame. ``style``: inherited property values. ``declared``: what the
    element declares itself. ``font_size``: px. ``viewport``: width and height that percentages refer to, px.
    ``clip``: what is shown, mm, paper frame, None for all. ``purpose``: to paint, to find what a clip path shows, or to
    measure a bounding box, or with strokes all that is drawn. ``chain``: the elements being drawn by reference now.
    ``solid``: no layer holds the element, so that an opaque paint's dark and light is final.
    ``context``: the element that refers here, None where none does.
    ``given_size``: width and height that a ``use`` gives the ``svg`` or ``symbol`` it refers to; None for all else.
    ``page``: width and height of the outermost viewport, px, for vw and its like. ``root_size``: the type size of the
    outermost element, px, for rem.
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
    context: Context | None = None
    given_size: dict[str, str] | None = None
    page: tuple[float, float] = (0.0, 0.0)
    root_size: float = 16.0

    @classmethod
    def on_page(cls, page: tuple[float, float], matrix: Matrix, declared: Declared) -> Place:
        """Return the place of an outermost ``svg`` that declares ``declared``; ``page``: its width and height, px."""
        root_size = cls().styled(declared).font_size
        return cls(matrix=matrix, viewport=page, page=page, root_size=root_size)

    @cached_property
    def magnification(self) -> float:
        """The most by which a user unit is enlarged, mm for each unit."""
        return stretch(self.matrix)

    @property
    def measuring(self) -> bool:
        """Whether nothing but a size is asked for."""
        return self.purpose in {"measure", "extent"}

    @property
    def diagonal(self) -> float:
        """What percentages refer to that are neither across nor up, px (SVG 2, section 8.9)."""
        return math.hypot(*self.viewport) / math.sqrt(2)

    def length(self, text: str | None, direction: str = "xy") -> float | None:
        """Return a length in user units; ``direction``: x, y or xy, for percentages."""
        whole = {"x": self.viewport[0], "y": self.viewport[1]}.get(direction, self.diagonal)
        return length(text, whole=whole, font_size=self.font_size, per_unit=self.per_unit)

    def per_unit(self, unit: str) -> float | None:
        """Return how many px one of a unit has that depends on root, font or page; None when it is none of these."""
        match unit:
            case "rem":
                return self.root_size
            case "ch":
                return zero_width(self.font[0]) * self.font_size
            case "vw" | "vh":
                return self.page[unit == "vh"] / 100
            case "vmin" | "vmax":
                return (min if unit == "vmin" else max)(self.page) / 100
            case _:
                return None

    @cached_property
    def font(self) -> tuple[Font, tuple[Finding, ...]]:
        """The font at hand for the style, and what had to be substituted."""
        return self.font_of_weight(1.0)

    def weight(self, least: float) -> float:
        """Return the weight that the style asks for, ``least`` at least."""
        word = self.style["font-weight"].lower()
        return min(max(_WEIGHTS.get(word) or number(word, 400.0), least), 1000.0)

    def font_of_weight(self, least: float) -> tuple[Font, tuple[Finding, ...]]:
        """Return the font at hand for the style, of some weight at least, and what had to be substituted."""
        width = _STRETCHES.get(self.style["font-stretch"].lower(), number(self.style["font-stretch"], 1.0) * 100)
        font, findings = find_font(
            self.style["font-family"],
            self.weight(least),
            self.style["font-style"],
            width=min(max(width, 1.0), 1000.0),
            slanted=bool({"style", "auto"} & set(self.style["font-synthesis"].split())),
        )
        axes = {"wdth": width} if width != 100 else {}
        axes.update((tag, float(value)) for tag, value in _AXIS.findall(self.style["font-variation-settings"]))
        return varied(font, axes) if axes else font, findings

    def styled(self, declared: Declared) -> Place:
        """Return the place of an element that declares ``declared``."""
        if not declared:
            return self if not self.declared else replace(self, declared={})
        style = inherited_style(self.style, declared)
        declared = with_variables(declared, style)
        size = self.font_size
        if "font-size" in declared:
            size = self._font_size(declared["font-size"].strip().lower())
        place = replace(self, style=style, declared=declared, font_size=size)
        for name in _HANDED_ON & declared.keys():
            if _BY_TYPE.search(declared[name]):
                lengths = declared[name].replace(",", " ").split() if name == "stroke-dasharray" else [declared[name]]
                style[name] = " ".join(map(place._by_own_type, lengths))
        return place

    def _by_own_type(self, word: str) -> str:
        """Return a length in the type's own measures in px, as it is handed on; any other word as it is."""
        found = self.length(word) if _BY_TYPE.search(word) else None
        return word if found is None else f"{found!r}"

    def _font_size(self, text: str) -> float:
        """Return the size of type that an element inside states, px."""
        parent = self.font_size
        if text in _SIZES:
            return _SIZES[text]
        if text in {"larger", "smaller"}:
            return parent * 1.2 if text == "larger" else parent / 1.2
        size = length(text, whole=parent, font_size=parent, per_unit=self.per_unit)
        return parent if size is None or size < 0 else size

    def within(self, width: float, height: float) -> Place:
        """Return the place with a viewport of this size, user units."""
        return replace(self, viewport=(width, height), given_size=None)

    def moved(self, matrix: Matrix) -> Place:
        """Return the place with ``matrix`` applied inside it."""
        return self if matrix == IDENTITY else replace(self, matrix=multiplied(self.matrix, matrix))
