"""Height maps kept in the file: each is a mesh of loose points that no scene shows, with one float to a point.

Why a mesh: its attributes are under the host's undo, are saved, appended and duplicated with the stamp that points at
them, and give and take a million floats in a few milliseconds. An image's pixels are not under undo, and an ID property
on the stamp's root would be copied with the root at every edit.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

import bpy
import numpy as np

from ..stampwright.errors import StampwrightError
from ..stampwright.solids.texture import FaceMap

if TYPE_CHECKING:
    from bpy.types import Mesh, Object

HEIGHTS = "height"
"""Attribute of the heights, mm, row by row, the lowest row first."""

ROWS, CORNER, SPACING = "stampwright_rows", "stampwright_corner", "stampwright_spacing"
"""Properties of the mesh that say what the heights are a map of; mm."""


def keep_map(holder: Object, name: str, face_map: FaceMap | None) -> None:
    """Keep a map in the file as ``holder.stampwright.NAME``, in place of the one that is there; None takes it away."""
    former = getattr(holder.stampwright, name)
    if face_map is None:
        setattr(holder.stampwright, name, None)
        if former is not None and former.users == 0:
            bpy.data.meshes.remove(former)
        return
    if former is None or former.users > 1 or former.library is not None:
        # A duplicate of the stamp points at the same mesh: that one keeps what it has.
        former = bpy.data.meshes.new(f"{holder.name} {name}")
        setattr(holder.stampwright, name, former)
    _write(former, face_map)


def keep_flat_map(holder: Object, name: str) -> None:
    """Keep the map of a face that is not sculpted yet; reading brings it to the face's own size and fineness."""
    keep_map(holder, name, FaceMap(np.zeros((1, 1), dtype=np.float32), (-0.5, -0.5), 1.0))


def kept_map(mesh: Mesh | None) -> FaceMap | None:
    """Return the map that a mesh keeps, or None without one; raises :class:`StampwrightError` when it is damaged."""
    if mesh is None:
        return None
    count = len(mesh.vertices)
    attribute = mesh.attributes.get(HEIGHTS)
    rows = mesh.get(ROWS, 0)
    if attribute is None or attribute.data_type != "FLOAT" or not rows or count % rows:
        raise StampwrightError(f"{mesh.name} holds no height map any more: undo that, or clear the sculpt")
    heights = np.empty(count, dtype=np.float32)
    attribute.data.foreach_get("value", heights)
    x, y = mesh[CORNER]
    return FaceMap(heights.reshape(rows, -1), (float(x), float(y)), float(mesh[SPACING]))


def mark_of(face_map: FaceMap) -> str:
    """Return a fingerprint of a map."""
    place = (face_map.heights.shape, face_map.corner, face_map.spacing)
    mark = hashlib.blake2b(repr(place).encode(), digest_size=12)
    mark.update(np.ascontiguousarray(face_map.heights).tobytes())
    return mark.hexdigest()


def _write(mesh: Mesh, face_map: FaceMap) -> None:
    heights = np.ascontiguousarray(face_map.heights, dtype=np.float32)
    if len(mesh.vertices) != heights.size:
        mesh.clear_geometry()
        mesh.vertices.add(heights.size)
    attribute = mesh.attributes.get(HEIGHTS) or mesh.attributes.new(HEIGHTS, "FLOAT", "POINT")
    attribute.data.foreach_set("value", heights.ravel())
    mesh[ROWS] = heights.shape[0]
    mesh[CORNER] = [float(part) for part in face_map.corner]
    mesh[SPACING] = float(face_map.spacing)
