"""Drawings of the core as images."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import bpy
import numpy as np

if TYPE_CHECKING:
    from bpy.types import Image


def in_colour(picture: Any) -> np.ndarray:
    """Return a picture, (rows, columns, 3) of 8 bits with the top row first, as Blender has pictures."""
    shown = np.ones((*picture.shape[:2], 4), dtype=np.float32)
    shown[..., :3] = picture[::-1] / np.float32(255.0)
    return shown


def as_image(title: str, picture: Any) -> Image:
    """Return a picture, as :func:`in_colour` takes it, as an image that takes the place of the last of that title."""
    pixels = in_colour(picture)
    rows, columns = pixels.shape[:2]
    image = bpy.data.images.get(title)
    if image is None or image.library is not None:
        image = bpy.data.images.new(title, columns, rows)
    elif tuple(image.size) != (columns, rows):
        image.scale(columns, rows)
    image.pixels.foreach_set(pixels.ravel())
    image.pack()
    return image
