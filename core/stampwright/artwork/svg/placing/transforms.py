"""An element's own transform, about the origin that it states (CSS Transforms 1, chapters 4 to 6)."""

from __future__ import annotations

from ..painting.sheet import Sheet
from ..source.document import Element
from ..styling.cascade import own_value
from ..styling.properties import Declared
from ..styling.values import IDENTITY, Matrix, about, multiplied, transform
from .boxes import bounding_box
from .place import Place

FARTHEST = 1e12
"""A part of a matrix above which renderers draw nothing any more, as by skewX(90)."""

_SHARES = {"left": "0%", "top": "0%", "center": "50%", "right": "100%", "bottom": "100%"}
_UPRIGHT = frozenset(("top", "bottom"))


def transform_of(sheet: Sheet, element: Element, place: Place) -> Matrix | None:
    """Return an element's own transform about its transform-origin; None when it draws nothing."""
    declared = sheet.cascade.declared_in(element, place.style)
    styled = declared.get("transform")
    text = element.attrib.get("transform") if styled is None else styled
    single = _single(declared)
    if text is None and not single:
        return IDENTITY
    text = text or ""
    matrix = transform(text, *place.viewport, place.font_size, units=styled is not None)
    if matrix is not None and single:
        moved = transform(single, *place.viewport, place.font_size, units=True)
        matrix = None if moved is None else multiplied(moved, matrix)
        text = f"{single} {text}".strip()
    if matrix is None:
        sheet.notes.add("transform left out", f'transform "{text[:60]}" could not be read', element)
        return IDENTITY
    matrix = about_origin(sheet, element, place, matrix)
    if max(map(abs, matrix)) > FARTHEST:
        sheet.notes.add("transform left out", f'transform "{text[:60]}" leads beyond all measure', element)
        return None
    return matrix if abs(matrix[0] * matrix[3] - matrix[1] * matrix[2]) > 0 else None


def _single(declared: Declared) -> str:
    """Return translate, rotate and scale, properties of their own, as a list (CSS Transforms 2, sections 5 and 7)."""
    calls = []
    for name in ("translate", "rotate", "scale"):
        value = own_value(declared, {}, name)
        if value != "none":
            calls.append(f"{name}({','.join(value.split())})")
    return " ".join(calls)


def about_origin(sheet: Sheet, element: Element, place: Place, matrix: Matrix) -> Matrix:
    """Return ``matrix`` about the element's transform-origin, which for SVG is (0, 0) unless it is stated."""
    declared = sheet.cascade.declared_in(element, place.style)
    words = own_value(declared, {}, "transform-origin").split()
    if not words:
        return matrix
    if words[0] in _UPRIGHT or words[1:2] == ["left"] or words[1:2] == ["right"]:
        words[:2] = [words[1] if len(words) > 1 else "center", words[0]]
    across, down = _SHARES.get(words[0], words[0]), _SHARES.get((words[1:] or ["center"])[0], (words[1:] or [""])[0])
    left = top = 0.0
    if own_value(declared, {}, "transform-box") in {"fill-box", "content-box"}:
        box = bounding_box(sheet, element, place)
        if box is not None:
            left, top = box[:2]
            place = place.within(box[2] - box[0], box[3] - box[1])
    x, y = place.length(across, "x") or 0.0, place.length(down, "y") or 0.0
    return about(left + x, top + y, matrix)
