"""Any mesh pressed on paper as if it were a die: one that was sculpted, imported, or modelled by hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from mathutils import Matrix

from ..artwork.reading import in_world, world_in_mm
from ..scene.impression import BESIDE_STAMP, lay_on_sheet, picture_bounds, show_picture
from ..scene.parts import new_child
from ..scene.stamps import PAPER, part_of
from ..scene.units import mm_per_unit
from ..stampwright.errors import MeshFileError
from ..stampwright.job import Job
from ..stampwright.press import Trial, try_on_paper

if TYPE_CHECKING:
    from bpy.types import Context, Depsgraph, Object


@dataclass(frozen=True, eq=False)
class SeenMesh:
    """A mesh as it stands in the world: ``vertices`` (n, 3) float, mm, ``triangles`` (m, 3) int."""

    vertices: Any
    triangles: Any


def read_mesh(drawn: Object, depsgraph: Depsgraph) -> SeenMesh:
    """Return the mesh of an object with all that its modifiers make of it, mm; raises :class:`MeshFileError`."""
    seen = drawn.evaluated_get(depsgraph)
    mesh = seen.to_mesh(preserve_all_data_layers=False, depsgraph=depsgraph)
    if mesh is None:
        raise MeshFileError(f"{drawn.name} has no mesh: there is nothing to press")
    try:
        points = np.empty(3 * len(mesh.vertices), dtype=np.float32)
        mesh.vertices.foreach_get("co", points)
        mesh.calc_loop_triangles()
        corners = np.empty(3 * len(mesh.loop_triangles), dtype=np.int32)
        mesh.loop_triangles.foreach_get("vertices", corners)
        placed = in_world(points.reshape(-1, 3).astype(np.float64), world_in_mm(seen, depsgraph))
        return SeenMesh(placed, corners.reshape(-1, 3))
    finally:
        seen.to_mesh_clear()


def press_mesh(mesh: SeenMesh, job: Job, *, textured: bool, full: bool) -> Trial:
    """Try a mesh on paper, face up as it stands; raises :class:`StampwrightError` when it is no die."""
    # Nothing says how much of it is still to be dressed off.
    return try_on_paper(job, mesh, allowance=0.0, textured=textured, full=full)


def lay_print(context: Context, drawn: Object, mesh: SeenMesh, trial: Trial) -> Object:
    """Lay a sheet with what a mesh prints right of it, at true size, and return it."""
    impression, scene = trial.prediction.impression, context.scene
    sheet = part_of(drawn, PAPER) or new_child(drawn, PAPER)
    lay_on_sheet(sheet, impression, show_picture(drawn, impression), scene)
    # The sheet lies flat on the ground, however the mesh is turned and scaled.
    sheet.matrix_parent_inverse = drawn.matrix_world.inverted()
    left, bottom, _, top = picture_bounds(impression)
    (_, low, ground), (right, high, _) = mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)
    place = (right + BESIDE_STAMP - left, (low + high - bottom - top) / 2.0, ground)
    sheet.matrix_basis = Matrix.Translation([at / mm_per_unit(scene) for at in place])
    return sheet
