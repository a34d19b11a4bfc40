"""Solids to meshes: each part of a stamp is one child of its root, updated in place."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np
from mathutils import Matrix

from ..stampwright.parts import BedPose
from ..stampwright.solids import Solid
from ..stampwright.stamp import Stamp
from .leftovers import remove_unused
from .overriding import is_override
from .stamps import all_stamps, children_of, collection_of, is_put_away, part_of
from .units import mm_per_unit

if TYPE_CHECKING:
    from bpy.types import Mesh, Object, Scene

SHARP = math.radians(35)
"""Edges where the surface turns by more than this are drawn sharp: a face's rim, not the facets of a curve."""


PLACES, CORNERS = "position", ".corner_vert"
"""The attributes in which a mesh has its vertices' places and its corners' vertices: written as they lie in memory,
which is a hundred times as quick as through vertices and loops."""

FIELDS = {"FLOAT_VECTOR": "vector", "BYTE_COLOR": "color_srgb"}
"""Under which name an attribute of each kind holds its values, where that is not ``value``."""


REGION, HEIGHT, PRESSURE, OUTWARDS = "region", "height", "pressure", "outwards"
"""The die's attributes for modifiers, shaders and other programs: of its faces which region each belongs to, by its
place in the core's ``REGIONS``; of its points the height over the floor, mm, the pressure when it was pressed last,
MPa, and, if the die is bent, the way in which heights grow."""


def show_part(root: Object, name: str, solid: Solid | None, scene: Scene) -> None:
    """Bring a part's mesh to a solid, keeping object, mesh, materials and what hangs on them; None takes it away."""
    child = part_of(root, name)
    if solid is None:
        if child is not None:
            remove_child(child)
        return
    if child is None:
        child = new_child(root, name)
    bring_back(root, child)
    for scale in ("scale", "delta_scale"):
        if getattr(child, scale)[:] != (1.0, 1.0, 1.0):
            setattr(child, scale, (1.0, 1.0, 1.0))
    places = solid.vertices / mm_per_unit(scene)
    if child.data.library is not None and has_points(child.data, places, solid.triangles):
        return
    own_mesh(child)
    _carry_keys(child, places, solid.triangles)
    write_mesh(child.data, places, solid.triangles)


def _carry_keys(child: Object, places: Any, triangles: Any) -> None:
    """Have shape keys go along with points that a mesh is about to be given; points of another make have none."""
    keys = child.data.shape_keys
    if keys is None:
        return
    if not _has_triangles(child.data, len(places), _corners(triangles)):
        child.shape_key_clear()
        return
    before = np.empty(3 * len(places), dtype=np.float32)
    keys.reference_key.data.foreach_get("co", before)
    moved = np.asarray(places, dtype=np.float32).ravel() - before
    held = np.empty_like(before)
    for key in keys.key_blocks:
        key.data.foreach_get("co", held)
        key.data.foreach_set("co", held + moved)


def bring_back(root: Object, child: Object) -> None:
    """Put a child that was unlinked into its stamp's collection again."""
    if not child.users_collection:
        collection_of(root).objects.link(child)


def own_mesh(child: Object) -> None:
    """Give a child a mesh of its own: that of a linked duplicate, or of a library, belongs to another stamp as well."""
    if child.data.users > 1 or child.data.library is not None:
        child.data = child.data.copy()


def new_child(root: Object, role: str) -> Object:
    """Return a new, empty mesh under a stamp, in its collection, or the child of this role that was put away before.

    Of a stamp that was copied by the host's own means as an override, that is what it left under the one copied.
    """
    before = next(children_of(root, role), None) or _copied_for(root, role)
    if before is not None:
        before.parent = root
        return before
    mesh = bpy.data.meshes.new(f"{root.name} {role}")
    child = bpy.data.objects.new(mesh.name, mesh)
    child.stampwright.role = role
    child.parent = root
    collection_of(root).objects.link(child)
    return child


def _copied_for(root: Object, role: str) -> Object | None:
    """Return the copy of a part that belongs to a copy of an override: the host leaves it under the one copied."""
    known = root.override_library
    for other in all_stamps():
        if known is not None and other != root and other.override_library is not None:
            held = [child for child in children_of(other, role) if not is_put_away(child)]
            if other.override_library.reference == known.reference and len(held) > 1:
                return held[-1]
    return None


def pose_parts(root: Object, stamp: Stamp, scene: Scene) -> None:
    """Place the parts under their root as the stamp's property says."""
    for name, pose in stamp.stand(root.stampwright.standing.lower()).items():
        child = part_of(root, name)
        if child is not None:
            _pose(child, pose, mm_per_unit(scene))


def write_mesh(mesh: Mesh, vertices: Any, triangles: Any) -> None:
    """Give a mesh these vertices, (n, 3), and triangles, (m, 3); where only places differ, all else of it stays.

    One that is in edit mode stays as it is: the host takes nothing then.
    """
    if mesh.is_editmode:
        return
    flat = np.ascontiguousarray(vertices, dtype=np.float32).ravel()
    corners = _corners(triangles)
    if not _has_triangles(mesh, len(vertices), corners):
        count = len(triangles)
        mesh.clear_geometry()
        mesh.vertices.add(len(vertices))
        mesh.loops.add(3 * count)
        mesh.polygons.add(count)
        mesh.attributes[CORNERS].data.foreach_set("value", corners)
        mesh.polygons.foreach_set("loop_start", np.arange(0, 3 * count, 3, dtype=np.int32))
        mesh.attributes[PLACES].data.foreach_set("vector", flat)
        mesh.update(calc_edges=True)
        mesh.set_sharp_from_angle(angle=SHARP)
        return
    mesh.attributes[PLACES].data.foreach_set("vector", flat)
    if len(flat):
        # Hosts before 5.0 keep a mesh's bounds unless a vertex is moved as such.
        mesh.vertices[0].co = flat[:3].tolist()
    mesh.update()


def has_points(mesh: Mesh, vertices: Any, triangles: Any) -> bool:
    """Whether a mesh has these vertices, (n, 3), and triangles, (m, 3), to a millionth of its size."""
    if mesh.is_editmode or not _has_triangles(mesh, len(vertices), _corners(triangles)):
        return False
    present = np.empty(3 * len(vertices), dtype=np.float32)
    mesh.attributes[PLACES].data.foreach_get("vector", present)
    wanted = np.asarray(vertices).ravel()
    return bool(np.allclose(present, wanted, rtol=0.0, atol=1e-6 * float(np.abs(wanted).max(initial=0.0))))


def _corners(triangles: Any) -> Any:
    """Return triangles, (m, 3), as the host takes the corners of faces, (3 m,) int32."""
    return np.ascontiguousarray(triangles, dtype=np.int32).ravel()


def _has_triangles(mesh: Mesh, count: int, corners: Any) -> bool:
    if len(mesh.vertices) != count or len(mesh.loops) != len(corners):
        return False
    present = np.empty(len(corners), dtype=np.int32)
    if len(corners):
        mesh.attributes[CORNERS].data.foreach_get("value", present)
    return bool(np.array_equal(present, corners))


def write_values(mesh: Any, name: str, kind: str, domain: str, values: Any) -> None:
    """Give every element of a domain of a mesh its value of an attribute; kind and domain as the host names them."""
    attribute = mesh.attributes.get(name) or mesh.attributes.new(name, kind, domain)
    kept = np.ascontiguousarray(values, dtype=np.int32 if kind == "INT" else np.float32)
    attribute.data.foreach_set(FIELDS.get(kind, "value"), kept.ravel())


def remove_values(mesh: Any, *names: str) -> None:
    """Take attributes off a mesh where it has them."""
    for name in names:
        attribute = mesh.attributes.get(name)
        if attribute is not None:
            mesh.attributes.remove(attribute)


def _pose(child: Object, pose: BedPose, unit: float) -> None:
    place = (pose.x / unit, 0.0, pose.z / unit)
    turn = (0.0, math.pi if pose.turned else 0.0, 0.0)
    if child.rotation_mode != "XYZ":
        child.rotation_mode = "XYZ"
    if child.parent_type != "OBJECT":
        child.parent_type = "OBJECT"
    if child.matrix_parent_inverse != Matrix.Identity(4):
        child.matrix_parent_inverse = Matrix.Identity(4)
    for delta in ("delta_location", "delta_rotation_euler"):
        if any(getattr(child, delta)):
            setattr(child, delta, (0.0, 0.0, 0.0))
    # Setting what is set already would still tell the host that the object has moved.
    if not np.allclose(child.location[:], place, atol=1e-9):
        child.location = place
    if not np.allclose(child.rotation_euler[:], turn, atol=1e-6):
        child.rotation_euler = turn


def remove_child(child: Object) -> None:
    """Take a mesh away from its stamp, and its data with it where nothing else has them.

    One that overrides another file's is emptied: deleted, it would come back when this file is opened again.
    """
    if is_override(child):
        child.data = bpy.data.meshes.new(child.name)
        return
    mesh = child.data
    bpy.data.objects.remove(child)
    if mesh is not None:
        remove_unused([mesh])


def read_part(child: Object, scene: Scene) -> Solid:
    """Return a part's mesh as a solid, mm, as it was written."""
    mesh = child.data
    vertices = np.empty(3 * len(mesh.vertices), dtype=np.float32)
    mesh.vertices.foreach_get("co", vertices)
    mesh.calc_loop_triangles()
    corners = np.empty(3 * len(mesh.loop_triangles), dtype=np.int32)
    mesh.loop_triangles.foreach_get("vertices", corners)
    placed = vertices.reshape(-1, 3).astype(np.float64) * mm_per_unit(scene)
    return Solid(child.stampwright.role, placed, corners.reshape(-1, 3))
