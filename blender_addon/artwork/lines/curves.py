"""Curves and text: their fills, and the lines that a round pen draws along their splines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from ...stampwright.artwork.drawn import Filled, Line, Shape, joined
from ...stampwright.artwork.outlines.crossing import PathFillRule
from ...stampwright.artwork.outlines.curves import Outline
from .pens import even_scale
from .splines import Course, control_points, courses_of, has_even_radii

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
    if even_scale(matrix) is None:
        return True
    return data.bevel_factor_start > 0 or data.bevel_factor_end < 1 or not has_even_radii(data)


def curve_shapes(source: Any, seen: Object, depsgraph: Depsgraph, matrix: Any, tolerance: float) -> Iterator[Shape]:
    """Yield the fill of each letter, or of the whole curve, and the lines drawn along its splines, mm as seen."""
    data = seen.data
    if seen.type == "FONT":
        courses = courses_of(seen.to_curve(depsgraph), matrix, tolerance, by_letter=True)
        seen.to_curve_clear()
    else:
        courses = courses_of(data, matrix, tolerance)
    filled: dict[int, list[Outline]] = {}
    for course in courses:
        if course.closed and _is_filled(source, seen):
            filled.setdefault(course.letter, []).append(course.outline)
    rule: PathFillRule = "nonzero" if getattr(data, "fill_rule", "") == "NON_ZERO" else "evenodd"
    for outlines in filled.values():
        yield Filled(joined(outlines), rule)
    yield from _lines_along(source, seen, courses, even_scale(matrix) or 0.0)


def _is_filled(source: Any, seen: Any) -> bool:
    """Whether closed splines are filled: as drawn, a flat curve says so, and a curve in space has only its line."""
    if source.drawn_as != "AUTO":
        return bool(source.drawn_as == "FILL")
    data = seen.data
    if seen.type == "FONT" or data.dimensions == "2D":
        return bool(data.fill_mode != "NONE")
    return bool(data.bevel_depth == 0)


def _lines_along(source: Any, seen: Any, courses: list[Course], scale: float) -> Iterator[Shape]:
    """Yield what pens draw along the splines: all of one width together, which is quicker than one by one."""
    data = seen.data
    if data.bevel_depth > 0:
        widths: dict[float, list[Outline]] = {}
        for course in courses:
            width = 2 * float(data.bevel_depth) * scale * course.radius
            widths.setdefault(round(width, 6), []).append(course.outline)
        for width, outlines in widths.items():
            yield Line(joined(outlines), width)
    elif source.drawn_as != "FILL":
        plain = [course.outline for course in courses if not (course.closed and _is_filled(source, seen))]
        if plain:
            yield Line(joined(plain), source.line_width, on_paper=True, cap="round", join="round")


def curve_points(seen: Object) -> Any:
    """Return points that lie where a curve or text is drawn, (n, 3) float, object's own, whatever is bevelled on it."""
    if seen.type == "FONT":
        return np.array(seen.bound_box, dtype=np.float64) * (1.0, 1.0, 0.0)
    return control_points(seen.data)
