"""Curves and text: their fills, and the lines that a round pen draws along their splines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from ...stampwright.artwork.drawn import Filled, Line, Shape, joined
from ...stampwright.artwork.outlines.crossing import PathFillRule
from ...stampwright.artwork.outlines.curves import Outline
from ..choosing import Look, ink_choice, look_at
from .pens import even_scale
from .splines import Course, control_points, courses_of, has_even_radii
from .typesetting import TypeCut, set_text

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object

ROUND_BEVEL = "ROUND"


def needs_mesh(seen: Object, matrix: Any) -> bool:
    """Whether only the host's own mesh shows what is seen: modifiers, and bevels that are no even round pen."""
    data = seen.data
    if any(each.show_viewport for each in seen.modifiers) or data.shape_keys is not None:
        return True
    if data.bevel_mode != ROUND_BEVEL or data.taper_object is not None or data.offset != 0.0:
        return True
    if data.bevel_depth == 0:
        return False
    if seen.type == "CURVE" and data.dimensions == "3D" and (data.extrude != 0.0 or data.fill_mode != "FULL"):
        return True
    if even_scale(matrix) is None:
        return True
    return data.bevel_factor_start > 0 or data.bevel_factor_end < 1 or not has_even_radii(data)


def is_ribbon(seen: Object) -> bool:
    """Whether a curve is drawn up to a band, which from where it is seen may cover something."""
    data: Any = seen.data
    return seen.type == "CURVE" and data.dimensions == "3D" and data.extrude != 0.0 and data.bevel_depth == 0.0


def splines_of(seen: Object, depsgraph: Depsgraph, matrix: Any, tolerance: float, cut: TypeCut) -> list[Course]:
    """Return the splines of a curve or text, mm as seen; ``cut``: how text is set otherwise than it is drawn."""
    if seen.type != "FONT":
        return courses_of(seen.data, matrix, tolerance)
    with set_text(seen, depsgraph, cut) as curve:
        return courses_of(curve, matrix, tolerance, by_letter=True)


def curve_shapes(source: Any, seen: Object, courses: list[Course], matrix: Any) -> Iterator[Shape]:
    """Yield the fill of each letter, or of the whole curve, and the lines drawn along its splines, mm as seen.

    ``courses``: its splines, as :func:`splines_of` has them through that matrix.
    """
    data: Any = seen.data
    is_text = seen.type == "FONT"
    looks = ink_choice(source.id_data.stampwright).of_slots(seen)
    filled: dict[tuple[int, Look], list[Outline]] = {}
    for course in courses:
        if course.closed and _is_filled(source, seen):
            filled.setdefault((course.letter, look_at(looks, course.slot)), []).append(course.outline)
    rule: PathFillRule = "nonzero" if getattr(data, "fill_rule", "") == "NON_ZERO" else "evenodd"
    for (letter, look), outlines in filled.items():
        named = _letter_in(data.body, letter) if is_text else ("", "")
        yield Filled(joined(outlines), rule, letter=named, **look._asdict())
    yield from _lines_along(source, seen, courses, even_scale(matrix) or 0.0, looks)


def _letter_in(body: str, at: int) -> tuple[str, str]:
    """Return a character of a text, and the word that it stands in."""
    if not 0 <= at < len(body):
        return "", ""
    around = next((word for word in re.finditer(r"\S+", body) if word.start() <= at < word.end()), None)
    return body[at], around[0] if around else body[at]


def _is_filled(source: Any, seen: Any) -> bool:
    """Whether closed splines are filled: as drawn, a flat curve says so, and a curve in space has only its line."""
    if source.drawn_as != "AUTO":
        return bool(source.drawn_as == "FILL")
    data = seen.data
    if seen.type == "FONT" or data.dimensions == "2D":
        return bool(data.fill_mode != "NONE")
    return bool(data.bevel_depth == 0)


def _lines_along(
    source: Any, seen: Any, courses: list[Course], scale: float, looks: tuple[Look, ...]
) -> Iterator[Shape]:
    """Yield what pens draw along the splines: all of one width together, which is quicker than one by one."""
    data = seen.data
    alike: dict[tuple[Look, float], list[Outline]] = {}
    for course in courses:
        look = look_at(looks, course.slot)
        if data.bevel_depth > 0:
            width = round(2 * float(data.bevel_depth) * scale * course.radius, 6)
            alike.setdefault((look, width), []).append(course.outline)
        elif source.drawn_as != "FILL" and not (course.closed and _is_filled(source, seen)):
            alike.setdefault((look, source.line_width), []).append(course.outline)
    for (look, width), outlines in alike.items():
        if data.bevel_depth > 0:
            yield Line(joined(outlines), width, **look._asdict())
        else:
            yield Line(joined(outlines), width, on_paper=True, cap="round", join="round", **look._asdict())


def curve_points(seen: Object) -> Any:
    """Return points that lie where a curve or text is drawn, (n, 3) float, object's own, whatever is bevelled on it."""
    if seen.type == "FONT":
        return np.array(seen.bound_box, dtype=np.float64) * (1.0, 1.0, 0.0)
    return control_points(seen.data)
