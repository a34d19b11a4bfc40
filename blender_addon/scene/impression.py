"""The impression as a Blender image, on a sheet of paper that lies beside the stamp at true size."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

from ..stampwright.files import png_bytes
from ..stampwright.press import Impression
from ..stampwright.stamp import Stamp
from .images import image_of, picture_on, read_again
from .nodes import first_material, new_matte
from .parts import bring_back, has_points, new_child, own_mesh, remove_child, write_mesh
from .stamps import PAPER, part_of
from .units import mm_per_unit

if TYPE_CHECKING:
    from bpy.types import Image, Object, Scene

MM_PER_INCH = 25.4

BESIDE_STAMP = 12.0
"""Room between the stamp and the sheet, mm."""

SHEET_RIM = 4.0
"""Bare paper round the picture on the sheet, mm."""


def show_impression(root: Object, stamp: Stamp, picture: bytes, scene: Scene) -> None:
    """Bring image and sheet to a stamp's impression, or take the sheet away when the stamp does without.

    ``picture``: that of the impression, as PNG.
    """
    sheet = part_of(root, PAPER)
    if not root.stampwright.paper:
        if sheet is not None:
            remove_child(sheet)
        return
    if sheet is not None:
        bring_back(root, sheet)
        _take_apart(sheet)
    image = None if sheet is not None and _is_painted(sheet) else show_picture(root, stamp.impression, picture)
    if sheet is None:
        sheet = new_child(root, PAPER)
        sheet.stampwright.laid = sheet.location
    lay_on_sheet(sheet, stamp.impression, image, scene)


def place_sheet(root: Object, stamp: Stamp, scene: Scene) -> None:
    """Lay a stamp's sheet clear of its parts: right of them, or above their row; one that was moved by hand stays."""
    sheet = part_of(root, PAPER)
    if sheet is None or not np.allclose(sheet.location[:], sheet.stampwright.laid[:], atol=1e-6):
        return
    # Parts stand turned over as well.
    right, top, _ = np.abs([side for part in stamp.parts.values() for side in part.bounds]).max(axis=0)
    left, bottom, end, _ = picture_bounds(stamp.impression)
    aside = (max(end, float(right)) - left + BESIDE_STAMP, 0.0)
    above = (0.0, float(top) - bottom + BESIDE_STAMP)
    x, y = above if root.stampwright.standing == "PRINT" else aside
    place = (x / mm_per_unit(scene), y / mm_per_unit(scene), 0.0)
    if not np.allclose(sheet.location[:], place, atol=1e-9):
        sheet.location = place
    sheet.stampwright.laid = sheet.location


def lay_on_sheet(sheet: Object, impression: Impression, image: Image | None, scene: Scene) -> None:
    """Bring a sheet to an impression's size; one that shows nothing yet is given the image of it."""
    left, bottom, right, top = (at / mm_per_unit(scene) for at in picture_bounds(impression))
    corners = np.array([(left, bottom, 0.0), (right, bottom, 0.0), (right, top, 0.0), (left, top, 0.0)])
    halves = np.array([(0, 1, 2), (0, 2, 3)])
    if not has_points(sheet.data, corners, halves):
        # Writing what is there already would still have the host make it ready to be drawn anew.
        write_mesh(sheet.data, corners, halves)
    if image is not None and not len(sheet.data.materials):
        sheet.data.materials.append(_paper(sheet.data.name, image))
    if not sheet.data.uv_layers:
        layer = sheet.data.uv_layers.new(name="Sheet")
        layer.data.foreach_set("uv", np.array([0, 0, 1, 0, 1, 1, 0, 0, 1, 1, 0, 1], dtype=np.float32))


def show_picture(root: Object, impression: Impression, picture: bytes | None = None) -> Image:
    """Return the stamp's image, brought to an impression's picture, pixel for pixel; ``picture``: it as PNG, if known.

    The picture is packed into the image as a file. That is quick, it is saved and undone with the rest, and Blender
    reads it when it is first looked at.
    """
    packed = picture if picture is not None else png_bytes(impression.picture, dpi=impression.dpi)
    image = image_of(root)
    if image is None or image.library is not None:
        image = bpy.data.images.new(f"{root.name} impression", 1, 1)
        image.alpha_mode = "NONE"
    image.pack(data=packed, data_len=len(packed))
    image.source = "FILE"
    read_again(image)
    return image


def picture_bounds(impression: Impression) -> tuple[float, float, float, float]:
    """Return left, bottom, right and top of an impression's picture on paper, mm."""
    left, bottom = impression.corner
    rows, columns = impression.picture.shape
    pixel = MM_PER_INCH / impression.dpi
    return left, bottom, left + columns * pixel, bottom + rows * pixel


def _is_painted(sheet: Object) -> bool:
    """Whether a sheet has a material of the artist's, which shows no picture."""
    return first_material(sheet) is not None and picture_on(sheet) is None


def _take_apart(sheet: Object) -> None:
    """Give a sheet that is a copy of another stamp's, or a library's, a mesh, a material and an image of its own."""
    own_mesh(sheet)
    material, image = first_material(sheet), picture_on(sheet)
    if material is None or image is None or (material.library is None and material.users - material.use_fake_user < 2):
        # One without a picture is the artist's, who may have it elsewhere, too.
        return
    sheet.data.materials[0] = copy = material.copy()
    if copy.node_tree is not None:
        twin = image.copy()
        for node in copy.node_tree.nodes:
            if node.type == "TEX_IMAGE" and node.image == image:
                node.image = twin


def _paper(title: str, image: Image) -> Any:
    material, node = new_matte(title, "ShaderNodeTexImage")
    node.image = image
    return material
