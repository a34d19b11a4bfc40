"""Clip paths that are shapes of CSS: circle(), inset(), polygon() and their like (CSS Shapes 1; CSS Masking 1, 5.1)."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import tinycss2
from shapely.geometry.base import BaseGeometry

from ...outlines.crossing import NOTHING, PathFillRule
from ...outlines.filling import filled
from ...outlines.pathdata import read_path
from ..placing.boxes import bounding_box, stroked_box
from ..placing.place import Place
from ..source.document import Element
from ..styling.tokens import words_of
from ..styling.values import length
from .sheet import Sheet

Box = tuple[float, float, float, float]
"""Left, top, right, bottom; user units."""

_BOXES = {
    "fill-box": "fill",
    "content-box": "fill",
    "padding-box": "fill",
    "stroke-box": "stroke",
    "border-box": "stroke",
    "margin-box": "stroke",
    "view-box": "view",
}
"""Which box of an element each name stands for where no box of CSS is drawn (CSS Masking 1, section 5.1)."""

_SIDES = {"left": (0, 0.0), "right": (0, 1.0), "top": (1, 0.0), "bottom": (1, 1.0), "center": (-1, 0.5)}


class _Ungrammatical(Exception):
    """Raised for what is no shape."""


def clip_shape(sheet: Sheet, element: Element, place: Place, value: str) -> BaseGeometry | None:
    """Return what a shape or box shows of an element, mm, paper frame; None where the value is none that is known."""
    tokens = words_of(tinycss2.parse_component_value_list(value))
    names = [token.lower_value for token in tokens if token.type == "ident"]
    shapes = [token for token in tokens if token.type == "function"]
    if len(names) + len(shapes) != len(tokens) or len(names) > 1 or len(shapes) > 1:
        return None
    which = _BOXES.get(names[0]) if names else "stroke"
    if which is None or not (names or shapes) or (shapes and shapes[0].lower_name not in _SHAPES):
        return None
    box = _box(sheet, element, place, which)
    if box is None:
        return NOTHING
    try:
        rule, data = _drawn(place, shapes[0], box) if shapes else ("nonzero", _ring(_own(box), [(0.0, 0.0)] * 4))
    except _Ungrammatical:
        return None
    outline, wrong = read_path(data)
    if wrong:
        return None
    moved = place.moved((1.0, 0.0, 0.0, 1.0, box[0], box[1]))
    lines = sheet.flat(sheet.placed(outline, moved.matrix, element), sheet.tolerance)
    return filled(lines.rings(), rule, sheet.limits)


def _box(sheet: Sheet, element: Element, place: Place, which: str) -> Box | None:
    if which == "view":
        return 0.0, 0.0, *place.viewport
    return (bounding_box if which == "fill" else stroked_box)(sheet, element, place)


def _own(box: Box) -> Box:
    """Return a box about its own upper left corner."""
    return 0.0, 0.0, box[2] - box[0], box[3] - box[1]


def _drawn(place: Place, function: Any, box: Box) -> tuple[PathFillRule, str]:
    """Return the filling rule of a shape and its path data about the box's upper left corner."""
    words = words_of(function.arguments)
    rule: PathFillRule = "nonzero"
    if function.lower_name in {"path", "polygon"} and words and words[0].type == "ident":
        if words[0].lower_value not in {"nonzero", "evenodd"}:
            raise _Ungrammatical
        rule, words = words[0].lower_value, words[2:]
    return rule, _SHAPES[function.lower_name](_Measure(place, box), words)


class _Measure:
    """Lengths about a box; percentages are of its sides."""

    def __init__(self, place: Place, box: Box) -> None:
        self._place = place
        self.size = (box[2] - box[0], box[3] - box[1])
        self.diagonal = math.hypot(*self.size) / math.sqrt(2)

    def along(self, token: Any, axis: int) -> float:
        """Return a length in user units; ``axis``: 0 across, 1 down, -1 neither."""
        whole = self.diagonal if axis < 0 else self.size[axis]
        text = token.serialize()
        found = length(text, whole=whole, font_size=self._place.font_size, per_unit=self._place.per_unit)
        if found is None:
            raise _Ungrammatical
        return found

    def position(self, words: Sequence[Any]) -> tuple[float, float]:
        """Return a place in the box (CSS Values 4, section 8.3), its middle where none is stated."""
        if len(words) == 4:
            return self._offsets(words)
        if len(words) > 2:
            raise _Ungrammatical
        found: dict[int, float] = {}
        sides = [_SIDES.get(word.lower_value, (2, 0.0)) if word.type == "ident" else None for word in words]
        turned = any(side is not None and side[0] == axis for side, axis in zip(sides, (1, 0), strict=False))
        for at, (word, side) in enumerate(zip(words, sides, strict=True)):
            axis = 1 - at if turned else at
            if side is not None and side[0] not in {-1, axis}:
                raise _Ungrammatical
            found[axis] = self.along(word, axis) if side is None else side[1] * self.size[axis]
        return found.get(0, self.size[0] / 2), found.get(1, self.size[1] / 2)

    def _offsets(self, words: Sequence[Any]) -> tuple[float, float]:
        found: dict[int, float] = {}
        for word, far in (words[:2], words[2:]):
            axis, share = _SIDES.get(getattr(word, "lower_value", ""), (-1, 0.0))
            if axis < 0:
                raise _Ungrammatical
            found[axis] = self.size[axis] - self.along(far, axis) if share else self.along(far, axis)
        if len(found) < 2:
            raise _Ungrammatical
        return found[0], found[1]


def _parted(words: Sequence[Any], word: str) -> tuple[list[Any], list[Any] | None]:
    """Return what stands before and after a word; None for after where it is not there."""
    for at, token in enumerate(words):
        if token.type == "ident" and token.lower_value == word:
            return list(words[:at]), list(words[at + 1 :])
    return list(words), None


def _radius(measure: _Measure, word: Any, distances: Sequence[float], axis: int) -> float:
    if word.type == "ident":
        ends = {"closest-side": min, "farthest-side": max}
        if word.lower_value not in ends:
            raise _Ungrammatical
        return ends[word.lower_value](map(abs, distances))
    radius = measure.along(word, axis)
    if radius < 0:
        raise _Ungrammatical
    return radius


def _circle(measure: _Measure, words: Sequence[Any]) -> str:
    radii, at = _parted(words, "at")
    x, y = measure.position(at or [])
    across, up = (x, measure.size[0] - x), (y, measure.size[1] - y)
    if len(radii) > 1 or at == []:
        raise _Ungrammatical
    radius = _radius(measure, radii[0], (*across, *up), -1) if radii else min(map(abs, (*across, *up)))
    return _oval(x, y, radius, radius)


def _ellipse(measure: _Measure, words: Sequence[Any]) -> str:
    radii, at = _parted(words, "at")
    x, y = measure.position(at or [])
    if len(radii) not in {0, 2} or at == []:
        raise _Ungrammatical
    distances = (x, measure.size[0] - x), (y, measure.size[1] - y)
    own = [_radius(measure, word, distances[axis], axis) for axis, word in enumerate(radii)]
    return _oval(x, y, *(own or [min(map(abs, each)) for each in distances]))


def _inset(measure: _Measure, words: Sequence[Any]) -> str:
    sides, radii = _parted(words, "round")
    top, right, bottom, left = _four([measure.along(word, at % 2 == 0) for at, word in _numbered(sides)])
    width, height = measure.size
    # Insets that meet leave nothing between them.
    flat, narrow = top + bottom >= height, left + right >= width
    return "" if flat or narrow else _rounded(measure, (left, top, width - right, height - bottom), radii)


def _rect(measure: _Measure, words: Sequence[Any]) -> str:
    sides, radii = _parted(words, "round")
    if len(sides) != 4:
        raise _Ungrammatical
    usual = (0.0, measure.size[0], measure.size[1], 0.0)
    top, right, bottom, left = (
        usual[at] if word.type == "ident" and word.lower_value == "auto" else measure.along(word, at % 2 == 0)
        for at, word in enumerate(sides)
    )
    return _rounded(measure, (left, top, max(left, right), max(top, bottom)), radii)


def _xywh(measure: _Measure, words: Sequence[Any]) -> str:
    sides, radii = _parted(words, "round")
    if len(sides) != 4:
        raise _Ungrammatical
    x, y, width, height = (measure.along(word, at % 2) for at, word in enumerate(sides))
    if width < 0 or height < 0:
        raise _Ungrammatical
    return _rounded(measure, (x, y, x + width, y + height), radii)


def _polygon(measure: _Measure, words: Sequence[Any]) -> str:
    pairs: list[list[Any]] = [[]]
    for word in words:
        if word.type == "literal" and word.value == ",":
            pairs.append([])
        else:
            pairs[-1].append(word)
    if any(len(pair) != 2 for pair in pairs):
        raise _Ungrammatical
    corners = [f"{measure.along(x, 0):.9g} {measure.along(y, 1):.9g}" for x, y in pairs]
    return f"M{'L'.join(corners)}z"


def _path(_: _Measure, words: Sequence[Any]) -> str:
    if len(words) != 1 or words[0].type != "string":
        raise _Ungrammatical
    return str(words[0].value)


_SHAPES = {
    "circle": _circle,
    "ellipse": _ellipse,
    "inset": _inset,
    "path": _path,
    "polygon": _polygon,
    "rect": _rect,
    "xywh": _xywh,
}


def _numbered(words: Sequence[Any]) -> list[tuple[int, Any]]:
    if not 1 <= len(words) <= 4:
        raise _Ungrammatical
    return list(enumerate(words))


def _four(values: Sequence[float]) -> tuple[float, float, float, float]:
    """Return four values of one to four as CSS hands them round: top, right, bottom, left."""
    top = values[0]
    right = values[1] if len(values) > 1 else top
    bottom = values[2] if len(values) > 2 else top
    return top, right, bottom, values[3] if len(values) > 3 else right


def _rounded(measure: _Measure, box: Box, words: Sequence[Any] | None) -> str:
    """Return a rectangle with the corners that follow its ``round``, from the upper left one clockwise."""
    if words is None:
        return _ring(box, [(0.0, 0.0)] * 4)
    slash = next((at for at, word in enumerate(words) if word.type == "literal" and word.value == "/"), None)
    across = words if slash is None else words[:slash]
    down = across if slash is None else words[slash + 1 :]
    radii = [_four([measure.along(word, axis) for _, word in _numbered(one)]) for axis, one in ((0, across), (1, down))]
    if min(map(min, radii)) < 0:
        raise _Ungrammatical
    # Corners that would overlap are all made smaller alike (CSS Backgrounds 3, section 4.5).
    width, height = box[2] - box[0], box[3] - box[1]
    sums = [(width, radii[0][0] + radii[0][1]), (width, radii[0][2] + radii[0][3])]
    sums += [(height, radii[1][0] + radii[1][3]), (height, radii[1][1] + radii[1][2])]
    share = min([1.0, *(side / whole for side, whole in sums if whole > 0)])
    return _ring(box, [(x * share, y * share) for x, y in zip(*radii, strict=True)])


def _ring(box: Box, corners: Sequence[tuple[float, float]]) -> str:
    """Return the path data of a rectangle; ``corners``: radii across and down, from the upper left one clockwise."""
    left, top, right, bottom = box
    (a, b), (c, d), (e, f), (g, h) = corners
    return (
        f"M{left + a:.9g} {top:.9g}H{right - c:.9g}A{c:.9g} {d:.9g} 0 0 1 {right:.9g} {top + d:.9g}"
        f"V{bottom - f:.9g}A{e:.9g} {f:.9g} 0 0 1 {right - e:.9g} {bottom:.9g}"
        f"H{left + g:.9g}A{g:.9g} {h:.9g} 0 0 1 {left:.9g} {bottom - h:.9g}"
        f"V{top + b:.9g}A{a:.9g} {b:.9g} 0 0 1 {left + a:.9g} {top:.9g}z"
    )


def _oval(x: float, y: float, across: float, down: float) -> str:
    arc = f"A{across:.9g} {down:.9g} 0 0 1"
    return f"M{x - across:.9g} {y:.9g}{arc} {x + across:.9g} {y:.9g}{arc} {x - across:.9g} {y:.9g}z"
