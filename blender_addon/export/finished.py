"""The finished stamp for other programs: put together, its finishes as pictures, written by the host's exporters."""

from __future__ import annotations

import math
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy
import numpy as np
from mathutils import Color, Matrix

from ..mockup.materials.palette import Rgba
from ..mockup.scenery.viewport import own_material, plain_material, take_dropped
from ..mockup.staging import chosen_colour, part_material
from ..scene.images import picture_on
from ..scene.nodes import new_matte, tree_of
from ..scene.passing import only_for_a_while
from ..scene.stamps import PAPER, part_of
from ..scene.units import MM_PER_METRE, mm_per_unit
from ..stampwright.errors import OutputError
from ..stampwright.files import StagedFolder
from ..stampwright.stamp import Stamp
from .baking import SHOWS, baked, shader_of
from .titles import named_as_wanted, title_of

if TYPE_CHECKING:
    from bpy.types import Context, Object

PICTURE_SIDE = 512
"""Pixels of the longer side of the impression's picture, which keeps files small."""

QUALITY = 85
"""Of baked pictures as JPEG: a sixth of what they are without loss."""

IMPRESSION = "impression"
"""What the sheet and its picture are called."""


EXPORTERS = {"GLB": ("export_scene", "gltf"), "USD": ("wm", "usd_export"), "OBJ": ("wm", "obj_export")}
"""What writes each kind of file, if the host has it: some are built without."""


@dataclass(frozen=True)
class FinishedFile:
    """What is written: ``kind`` of file; ``sheet``: the impression beside; ``side`` of baked pictures, px, 0: none."""

    kind: str
    sheet: bool = False
    side: int = 0


def write_finished(context: Context, root: Object, stamp: Stamp, path: Path, wanted: FinishedFile) -> list[Path]:
    """Write a stamp as it stands in use, in metres, and return the file and what lies beside it, all of its name.

    Raises :class:`OutputError` when the host's exporter does not write it.
    """
    if not path.parent.is_dir():
        raise OutputError(f"{path.name} could not be written: there is no folder {path.parent}")
    room, exporter = EXPORTERS[wanted.kind]
    if exporter not in dir(getattr(bpy.ops, room)):
        raise OutputError(
            "Enable Blender's own glTF 2.0 add-on under Edit, Preferences, Add-ons"
            if wanted.kind == "GLB"
            else f"This Blender was built without {wanted.kind}: choose another format"
        )
    with tempfile.TemporaryDirectory(prefix="stampwright-") as folder:
        # What lies in an archive is named after it while it is written: letters of every language are not read there.
        made = Path(folder) / ("stamp.usdz" if wanted.kind == "USD" else path.name)
        # What was dropped on a part may not have been taken up yet.
        take_dropped(root)
        with named_as_wanted() as give, only_for_a_while(), _selection_kept(context):
            chosen = _stand(context, root, stamp, wanted, give)
            if wanted.kind == "OBJ":
                _lay_out(made.parent, f"{made.stem}_", chosen)
            elif wanted.kind == "USD":
                pictures = made.parent / "pictures"
                pictures.mkdir()
                _lay_out(pictures, "", chosen)
            _choose(context, chosen)
            try:
                done = _write(made, wanted.kind)
            except RuntimeError as error:
                raise OutputError(f"{path.name} could not be written: {' '.join(str(error).split())}") from error
        if "FINISHED" not in done or not made.is_file():
            raise OutputError(f"{path.name} could not be written by the host's exporter")
        made.rename(Path(folder) / path.name)
        written = sorted(each for each in Path(folder).iterdir() if each.is_file())
        with StagedFolder(path.parent, [each.name for each in written], overwrite=True) as staged:
            for each in written:
                staged.write(each.name, each.read_bytes())
    return [path.parent / each.name for each in written]


def _write(path: Path, kind: str) -> set[str]:
    scene: Any = bpy.ops.export_scene
    manager: Any = bpy.ops.wm
    match kind:
        case "GLB":
            return set(
                scene.gltf(
                    filepath=str(path),
                    export_format="GLB",
                    use_selection=True,
                    export_apply=False,
                    export_image_format="JPEG",
                    export_jpeg_quality=QUALITY,
                )
            )
        case "USD":
            return set(
                manager.usd_export(
                    filepath=str(path),
                    selected_objects_only=True,
                    export_materials=True,
                    # Phones ask for y up, and for nothing but meshes and materials; the scene's world would be a light.
                    convert_orientation=True,
                    convert_world_material=False,
                )
            )
    return set(
        manager.obj_export(
            filepath=str(path),
            export_selected_objects=True,
            export_materials=True,
            export_pbr_extensions=True,
            path_mode="STRIP",
        )
    )


def _stand(
    context: Context, root: Object, stamp: Stamp, wanted: FinishedFile, give: Callable[[Any, str], None]
) -> list[Object]:
    """Have copies of the parts stand in the scene, put together, true to size in metres, and return them.

    ``give``: gives them their names, which are those of the parts in the file.
    """
    made: list[Any] = []
    metres = context.scene.unit_settings.scale_length
    for name, pose in stamp.stand("use").items():
        part = part_of(root, name)
        if part is None:
            continue
        mesh = part.data.copy()
        mesh.materials.clear()
        turned = Matrix.Rotation(math.pi if pose.turned else 0.0, 4, "Y")
        placed = Matrix.Translation((pose.x / MM_PER_METRE, 0.0, pose.z / MM_PER_METRE)) @ turned
        title = title_of(root.stampwright.job_name, name)
        copy = _put(context, mesh, placed @ Matrix.Scale(metres, 4))
        give(copy, title)
        give(mesh, title)
        own = own_material(part, name)
        if wanted.side and (own is None or shader_of(own) is not None):
            filament: Any = own or part_material(root, name, mesh, mm_per_unit(context.scene))
            look: Any = baked(context, copy, filament.copy(), name, wanted.side)
            give(look, title)
            for node in picture_nodes(look):
                give(node.image, node.image[SHOWS])
        else:
            mesh.materials.append(own or plain_material(root, name))
        made.append(copy)
    paper = part_of(root, PAPER)
    printed = picture_on(paper) if wanted.sheet and paper is not None else None
    if paper is not None and printed is not None:
        title = title_of(root.stampwright.job_name, IMPRESSION)
        material, node = new_matte(title, "ShaderNodeTexImage")
        node.image = _smaller(printed, chosen_colour(root, "ink"))
        node.image[SHOWS] = IMPRESSION
        mesh = paper.data.copy()
        mesh.materials.clear()
        mesh.materials.append(material)
        beside = Matrix.Translation((paper.matrix_local.translation * metres)[:])
        copy = _put(context, mesh, beside @ Matrix.Scale(metres, 4))
        for each in (copy, mesh, material):
            give(each, title)
        # A stamp's name may have in it what is no name of a file.
        give(node.image, IMPRESSION)
        made.append(copy)
    return made


def _put(context: Context, mesh: Any, placed: Matrix) -> Any:
    copy = bpy.data.objects.new(mesh.name, mesh)
    copy.matrix_world = placed
    context.scene.collection.objects.link(copy)
    return copy


def picture_nodes(material: Any) -> list[Any]:
    """Return the nodes by which a material shows pictures."""
    nodes = tree_of(material).nodes
    return [each for each in nodes if isinstance(each, bpy.types.ShaderNodeTexImage) and each.image is not None]


def _lay_out(folder: Path, stem: str, chosen: list[Object]) -> None:
    """Have objects show their pictures from small files in a folder, of which OBJ and USD tell or take in copies."""
    for each in chosen:
        for node in picture_nodes(each.data.materials[0]):
            image = node.image
            if SHOWS not in image:
                # One of the user's own, which the host finds where it is.
                continue
            # Lines on white are smallest, and crisp, without loss.
            kind, ending = ("PNG", ".png") if image[SHOWS] == IMPRESSION else ("JPEG", ".jpg")
            # Many readers end a name at its first space.
            path = folder / (f"{stem}{image[SHOWS]}".replace(" ", "_") + ending)
            image.file_format, image.filepath_raw = kind, str(path)
            image.save(quality=QUALITY)
            node.image = bpy.data.images.load(str(path))
            node.image.colorspace_settings.name = image.colorspace_settings.name


def _smaller(image: Any, ink: Rgba) -> Any:
    """Return a copy of a picture that is small enough for a page, in the ink that the stamp prints with."""
    grey = image.copy()
    across, up = grey.size
    share = min(PICTURE_SIDE / max(across, up, 1), 1.0)
    size = max(round(across * share), 1), max(round(up * share), 1)
    grey.scale(*size)
    values = np.empty(len(grey.pixels), dtype=np.float32)
    grey.pixels.foreach_get(values)
    dark = np.array(Color(ink[:3]).from_scene_linear_to_srgb())
    seen = values.reshape(-1, 4)[:, :3]
    seen[:] = dark + (1.0 - dark) * seen
    # A new one: what was read as grey is written as grey, whatever has become of it.
    coloured: Any = bpy.data.images.new(image.name, *size)
    coloured.pixels.foreach_set(values)
    coloured.pack()
    return coloured


@contextmanager
def _selection_kept(context: Context) -> Iterator[None]:
    """Have in the end selected and active what is now."""
    before, active = context.selected_objects, context.view_layer.objects.active
    try:
        yield
    finally:
        _choose(context, before)
        context.view_layer.objects.active = active


def _choose(context: Context, chosen: list[Object]) -> None:
    """Select these and nothing else."""
    for each in context.selected_objects:
        each.select_set(False)
    for each in chosen:
        each.select_set(True)
    context.view_layer.update()
