"""The finished stamp for other programs: put together, in plain materials, written by the host's own exporters."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
from mathutils import Matrix

from ..mockup.viewport import plain_material
from ..scene.images import picture_on
from ..scene.nodes import new_matte
from ..scene.stamps import PAPER, part_of
from ..scene.units import MM_PER_METRE
from ..stampwright.errors import OutputError
from ..stampwright.stamp import Stamp

if TYPE_CHECKING:
    from bpy.types import Context, Object

PICTURE_SIDE = 512
"""Pixels of the longer side of the impression's picture, which keeps files small."""


def write_finished(context: Context, root: Object, stamp: Stamp, path: Path, kind: str, *, sheet: bool) -> None:
    """Write a stamp as it stands in use, in metres; ``sheet``: with its impression beside it.

    Raises :class:`OutputError` when the host's exporter does not write it.
    """
    with _standing_by(context, root, stamp, sheet=sheet) as chosen, _selected(context, chosen):
        try:
            done = _write(path, kind)
        except RuntimeError as error:
            raise OutputError(f"{path.name} could not be written: {' '.join(str(error).split())}") from error
    if "FINISHED" not in done or not path.is_file():
        raise OutputError(f"{path.name} could not be written by the host's exporter")


def _write(path: Path, kind: str) -> set[str]:
    scene: Any = bpy.ops.export_scene
    manager: Any = bpy.ops.wm
    match kind:
        case "GLB":
            if not hasattr(bpy.types, "EXPORT_SCENE_OT_gltf"):
                raise OutputError("Enable Blender's own glTF 2.0 add-on under Edit, Preferences, Add-ons")
            return set(scene.gltf(filepath=str(path), export_format="GLB", use_selection=True, export_apply=False))
        case "USD":
            return set(manager.usd_export(filepath=str(path), selected_objects_only=True, export_materials=True))
    return set(manager.obj_export(filepath=str(path), export_selected_objects=True, export_materials=True))


@contextmanager
def _standing_by(context: Context, root: Object, stamp: Stamp, *, sheet: bool) -> Iterator[list[Object]]:
    """Have copies of the parts stand in the scene for a while, put together, true to size in metres."""
    made: list[Any] = []
    metres = context.scene.unit_settings.scale_length
    for name, pose in stamp.stand("use").items():
        part = part_of(root, name)
        if part is None:
            continue
        mesh = part.data.copy()
        mesh.materials.clear()
        mesh.materials.append(plain_material(root, name))
        turned = Matrix.Rotation(math.pi if pose.turned else 0.0, 4, "Y")
        placed = Matrix.Translation((pose.x / MM_PER_METRE, 0.0, pose.z / MM_PER_METRE)) @ turned
        made.append(_put(context, f"{root.name} {name}", mesh, placed @ Matrix.Scale(metres, 4)))
    paper = part_of(root, PAPER)
    printed = picture_on(paper) if sheet and paper is not None else None
    extra: list[Any] = []
    if paper is not None and printed is not None:
        material, node = new_matte(f"{root.name} impression", "ShaderNodeTexImage")
        node.image = _smaller(printed)
        extra = [material, node.image]
        mesh = paper.data.copy()
        mesh.materials.clear()
        mesh.materials.append(material)
        beside = Matrix.Translation((paper.matrix_local.translation * metres)[:])
        made.append(_put(context, f"{root.name} impression", mesh, beside @ Matrix.Scale(metres, 4)))
    try:
        yield made
    finally:
        meshes = [each.data for each in made]
        for each in (*made, *meshes, *extra):
            bpy.data.batch_remove([each])


def _put(context: Context, name: str, mesh: Any, placed: Matrix) -> Any:
    copy = bpy.data.objects.new(name, mesh)
    copy.matrix_world = placed
    context.scene.collection.objects.link(copy)
    return copy


def _smaller(image: Any) -> Any:
    """Return a copy of a picture that is small enough for a page."""
    copy = image.copy()
    across, up = copy.size
    share = min(PICTURE_SIDE / max(across, up, 1), 1.0)
    copy.scale(max(round(across * share), 1), max(round(up * share), 1))
    copy.pack()
    return copy


@contextmanager
def _selected(context: Context, chosen: list[Object]) -> Iterator[None]:
    """Have nothing but these selected for a while."""
    before, active = context.selected_objects, context.view_layer.objects.active
    for each in before:
        each.select_set(False)
    for each in chosen:
        each.select_set(True)
    context.view_layer.update()
    try:
        yield
    finally:
        for each in before:
            each.select_set(True)
        context.view_layer.objects.active = active
