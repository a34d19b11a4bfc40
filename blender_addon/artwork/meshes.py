"""Meshes, and what the host makes a mesh of, as faces seen, or as lines along edges where there are none."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from ..stampwright.artwork.drawn import Faces, Line, Shape
from ..stampwright.artwork.outlines.curves import Outline
from .choosing import Look, look_at

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Mesh, Object


@dataclass(frozen=True, eq=False)
class Net:
    """A mesh: ``points``, (n, 3) float, object's own; ``triangles``, (m, 3) int; ``edges``, (k, 2) int.

    ``slots``: (m,) int, that of each triangle's material. ``is_parted``: there are edges without faces beside faces.
    """

    points: Any
    triangles: Any
    edges: Any
    slots: Any
    is_parted: bool = False


def read_mesh(seen: Object, depsgraph: Depsgraph | None = None) -> Net:
    """Return the mesh that the host makes of an evaluated object; edges are told only where there are no faces."""
    mesh = seen.to_mesh(preserve_all_data_layers=False, depsgraph=depsgraph)
    try:
        if mesh is None or not len(mesh.vertices):
            none = np.empty(0, dtype=np.int32)
            return Net(np.empty((0, 3)), none.reshape(0, 3), none.reshape(0, 2), none)
        points = np.empty(3 * len(mesh.vertices), dtype=np.float32)
        mesh.vertices.foreach_get("co", points)
        mesh.calc_loop_triangles()
        corners = np.empty(3 * len(mesh.loop_triangles), dtype=np.int32)
        mesh.loop_triangles.foreach_get("vertices", corners)
        slots = np.empty(len(mesh.loop_triangles), dtype=np.int32)
        mesh.loop_triangles.foreach_get("material_index", slots)
        edges = np.empty(0 if len(corners) else 2 * len(mesh.edges), dtype=np.int32)
        if len(edges):
            mesh.edges.foreach_get("vertices", edges)
        placed = points.reshape(-1, 3).astype(np.float64)
        return Net(placed, corners.reshape(-1, 3), edges.reshape(-1, 2), slots, _is_parted(mesh))
    finally:
        seen.to_mesh_clear()


def _is_parted(mesh: Mesh) -> bool:
    """Whether a mesh has faces, and edges of some length beside them that bound none."""
    if not len(mesh.polygons):
        return False
    loose = np.empty(len(mesh.edges), dtype=bool)
    mesh.edges.foreach_get("is_loose", loose)
    if not loose.any():
        return False
    ends, points = np.empty(2 * len(loose), dtype=np.int32), np.empty(3 * len(mesh.vertices), dtype=np.float32)
    mesh.edges.foreach_get("vertices", ends)
    mesh.vertices.foreach_get("co", points)
    first, last = (points.reshape(-1, 3)[at] for at in ends.reshape(-1, 2)[loose].T)
    return bool((first != last).any())


def net_of_courses(courses: list[tuple[Any, bool]]) -> Net:
    """Return curves as the edges of a mesh; each its points, (n, 3) float, and whether it is closed."""
    edges, first = [np.empty((0, 2), dtype=np.int32)], 0
    for course, closed in courses:
        along = np.arange(first, first + len(course), dtype=np.int32)
        after = np.roll(along, -1)
        edges.append(np.stack((along, after), axis=1)[: len(course) if closed else -1])
        first += len(course)
    none = np.empty(0, dtype=np.int32)
    return Net(np.vstack([course for course, _ in courses]), none.reshape(0, 3), np.vstack(edges), none)


def mesh_shapes(net: Net, matrix: Any, line_width: float, looks: tuple[Look, ...]) -> list[Shape]:
    """Return the faces of a mesh taken through a matrix to mm as seen, or lines, so broad on paper, along its edges.

    ``looks``: how what each slot's material draws is taken, see :meth:`~.choosing.InkChoice.of_slots`. Of several
    materials, what lies higher comes later.
    """
    placed = net.points @ matrix[:2, :3].T + matrix[:2, 3]
    if not len(net.triangles):
        return [replace(_edge_line(placed[net.edges], line_width), **looks[0]._asdict())] if len(net.edges) else []
    if len(set(looks[:-1])) < 2:
        return [Faces(placed[net.triangles], **looks[0]._asdict())]
    heights, groups = net.points @ matrix[2, :3], dict[Look, list[Any]]()
    for slot in np.unique(net.slots).tolist():
        groups.setdefault(look_at(looks, slot), []).append(net.triangles[net.slots == slot])
    joined = {look: np.concatenate(triangles) for look, triangles in groups.items()}
    ordered = sorted(joined.items(), key=lambda group: round(float(heights[group[1]].mean()), 4))
    return [Faces(placed[triangles], **look._asdict()) for look, triangles in ordered]


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
