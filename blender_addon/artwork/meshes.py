"""Meshes, and what the host makes a mesh of, as faces seen, or as lines along edges where there are none."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from ..stampwright.artwork.drawn import Faces, Line, Shape
from ..stampwright.artwork.outlines.curves import Outline
from .choosing import reason_at

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object


@dataclass(frozen=True, eq=False)
class Net:
    """A mesh: ``points``, (n, 3) float, object's own; ``triangles``, (m, 3) int; ``edges``, (k, 2) int.

    ``slots``: (m,) int, that of each triangle's material.
    """

    points: Any
    triangles: Any
    edges: Any
    slots: Any


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
        return Net(points.reshape(-1, 3).astype(np.float64), corners.reshape(-1, 3), edges.reshape(-1, 2), slots)
    finally:
        seen.to_mesh_clear()


def mesh_shapes(net: Net, matrix: Any, line_width: float, reasons: tuple[str, ...]) -> list[Shape]:
    """Return the faces of a mesh taken through a matrix to mm as seen, or lines, so broad on paper, along its edges.

    ``reasons``: what each slot's material is left out as, see :meth:`~.choosing.InkChoice.of_slots`.
    """
    placed = net.points @ matrix[:2, :3].T + matrix[:2, 3]
    if not len(net.triangles):
        return [replace(_edge_line(placed[net.edges], line_width), left_out=reasons[0])] if len(net.edges) else []
    if not any(reasons):
        return [Faces(placed[net.triangles])]
    left_out = np.array([reason_at(reasons, slot) for slot in range(int(net.slots.max()) + 1)])[net.slots]
    return [Faces(placed[net.triangles[left_out == what]], left_out=str(what)) for what in np.unique(left_out)]


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
