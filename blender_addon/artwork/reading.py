"""Artwork from the scene: each object that is drawn with, seen from above, as the core's shapes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from ..scene.units import mm_per_unit
from ..stampwright.artwork.drawn import Faces, Filled, Line, Shape, joined
from ..stampwright.artwork.outlines.curves import Outline
from ..stampwright.artwork.outlines.filling import Rule
from ..stampwright.errors import ArtworkError
from .grease import read_strokes
from .splines import Course, courses_of, has_even_radii

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object

ROUND_BEVEL = "ROUND"


def read_shapes(source: Any, depsgraph: Depsgraph, tolerance: float) -> list[Shape]:
    """Return what one source of a stamp draws, mm, paper frame: world x and y as seen from above.

    ``source``: an entry of a stamp's sources. ``tolerance``: how far B-splines may stray, mm as drawn. Raises
    :class:`ArtworkError` when its object cannot be drawn with.
    """
    drawn = source.object
    seen = drawn.evaluated_get(depsgraph)
    matrix = world_in_mm(seen, depsgraph)
    match drawn.type:
        case "CURVE" | "FONT":
            if _needs_mesh(seen):
                return _mesh_shapes(source, seen, depsgraph, matrix)
            return list(_curve_shapes(source, seen, depsgraph, matrix, tolerance))
        case "MESH":
            return _mesh_shapes(source, seen, depsgraph, matrix)
        case "GREASEPENCIL" | "GPENCIL":
            return read_strokes(seen, matrix)
    raise ArtworkError(f"{drawn.name} is no curve, text, mesh or Grease Pencil: nothing can be drawn with it")


def world_in_mm(seen: Object, depsgraph: Depsgraph) -> Any:
    """Return the matrix from an object's own coordinates to the world's, in mm, (4, 4) float."""
    matrix = np.array(seen.matrix_world, dtype=np.float64)
    matrix[:3] *= mm_per_unit(depsgraph.scene)
    return matrix


def in_world(points: Any, matrix: Any) -> Any:
    """Return points, (n, 3), taken through a matrix of :func:`world_in_mm`."""
    return points @ matrix[:3, :3].T + matrix[:3, 3]


def _needs_mesh(seen: Object) -> bool:
    """Whether only the host's own mesh shows what is seen: modifiers, and bevels that are no even round pen."""
    data = seen.data
    if any(each.show_viewport for each in seen.modifiers) or data.shape_keys is not None:
        return True
    if data.bevel_mode != ROUND_BEVEL or data.taper_object is not None or data.offset != 0.0:
        return True
    if data.bevel_depth == 0:
        return False
    return data.bevel_factor_start > 0 or data.bevel_factor_end < 1 or not has_even_radii(data)


def _curve_shapes(source: Any, seen: Object, depsgraph: Depsgraph, matrix: Any, tolerance: float) -> Iterator[Shape]:
    """Yield the fill of each letter, or of the whole curve, and the lines drawn along its splines."""
    data = seen.data
    if source.object.type == "FONT":
        courses = courses_of(seen.to_curve(depsgraph), matrix, tolerance, by_letter=True)
        seen.to_curve_clear()
    else:
        courses = courses_of(data, matrix, tolerance)
    filled: dict[int, list[Outline]] = {}
    for course in courses:
        if course.closed and _is_filled(source, data):
            filled.setdefault(course.letter, []).append(course.outline)
    rule: Rule = "nonzero" if getattr(data, "fill_rule", "") == "NON_ZERO" else "evenodd"
    for outlines in filled.values():
        yield Filled(joined(outlines), rule)
    stretch = abs(float(np.linalg.det(matrix[:2, :2]))) ** 0.5
    yield from _lines_along(source, data, courses, stretch)


def _is_filled(source: Any, data: Any) -> bool:
    """Whether closed splines are filled: as drawn, a flat curve says so, and a curve in space has only its line."""
    if source.drawn_as != "AUTO":
        return bool(source.drawn_as == "FILL")
    if source.object.type == "FONT" or data.dimensions == "2D":
        return bool(data.fill_mode != "NONE")
    return bool(data.bevel_depth == 0)


def _lines_along(source: Any, data: Any, courses: list[Course], stretch: float) -> Iterator[Shape]:
    """Yield what pens draw along the splines: all of one width together, which is quicker than one by one."""
    if data.bevel_depth > 0:
        widths: dict[float, list[Outline]] = {}
        for course in courses:
            width = 2 * float(data.bevel_depth) * stretch * course.radius
            widths.setdefault(round(width, 6), []).append(course.outline)
        for width, outlines in widths.items():
            yield Line(joined(outlines), width)
    elif source.drawn_as != "FILL":
        plain = [course.outline for course in courses if not (course.closed and _is_filled(source, data))]
        if plain:
            yield Line(joined(plain), source.line_width, on_paper=True, cap="round", join="round")


def _mesh_shapes(source: Any, seen: Object, depsgraph: Depsgraph, matrix: Any) -> list[Shape]:
    """Return the faces of an object's evaluated mesh, and lines along its edges where it has no faces."""
    mesh = seen.to_mesh(preserve_all_data_layers=False, depsgraph=depsgraph)
    try:
        if mesh is None or not len(mesh.vertices):
            return []
        points = np.empty(3 * len(mesh.vertices), dtype=np.float32)
        mesh.vertices.foreach_get("co", points)
        placed = in_world(points.reshape(-1, 3).astype(np.float64), matrix)[:, :2]
        if len(mesh.polygons):
            mesh.calc_loop_triangles()
            corners = np.empty(3 * len(mesh.loop_triangles), dtype=np.int32)
            mesh.loop_triangles.foreach_get("vertices", corners)
            return [Faces(placed[corners.reshape(-1, 3)])]
        edges = np.empty(2 * len(mesh.edges), dtype=np.int32)
        mesh.edges.foreach_get("vertices", edges)
        return [_edge_line(placed[edges.reshape(-1, 2)], source.line_width)] if len(edges) else []
    finally:
        seen.to_mesh_clear()


def _edge_line(ends: Any, width: float) -> Line:
    """Return a line along each edge, (n, 2, 2) float."""
    starts, stops = ends[:, 0], ends[:, 1]
    moves = np.broadcast_to(starts[:, None], (len(ends), 4, 2))
    steps = np.stack((starts, starts, stops, stops), axis=1)
    corners = np.stack((moves, steps), axis=1).reshape(-1, 4, 2)
    kinds = np.tile(np.array([0, 1], dtype=np.int8), len(ends))
    return Line(
        Outline(corners, kinds, np.zeros(len(ends), dtype=bool)), width, on_paper=True, cap="round", join="round"
    )
