"""The images on the sheets of stamps, in which their impressions are packed; loads nothing heavy."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from .nodes import first_material
from .stamps import PAPER, part_of

if TYPE_CHECKING:
    from bpy.types import Image, Object


def picture_on(sheet: Object) -> Image | None:
    """Return the image on a stamp's sheet, or None when its material has been changed to one without."""
    material = first_material(sheet)
    if material is None or material.node_tree is None:
        return None
    return next((node.image for node in material.node_tree.nodes if node.type == "TEX_IMAGE"), None)


def image_of(root: Object) -> Image | None:
    """Return the image that shows a stamp's impression, or None."""
    sheet = part_of(root, PAPER)
    return picture_on(sheet) if sheet is not None else None


def read_again(image: Image) -> None:
    """Let go of what was read of an image's former picture."""
    image.buffers_free()
    image.update_tag()


def read_pictures_again(roots: Iterable[Object]) -> None:
    """Have the images of stamps show what is packed in them, as when undoing has put former pictures there."""
    for root in roots:
        image = image_of(root)
        if image is not None and image.library is None and image.packed_file is not None:
            read_again(image)
