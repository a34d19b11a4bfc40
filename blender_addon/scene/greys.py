"""Grey pictures from the host's images and textures, for the texture of a face and the tone of the ink."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from typing import TYPE_CHECKING, Any

import numpy as np

from ..stampwright.errors import ArtworkError

if TYPE_CHECKING:
    from bpy.types import Image, Texture

LUMINANCE = np.array([0.2126, 0.7152, 0.0722], dtype=np.float32)
"""Shares of red, green and blue in how light a colour is (ITU-R BT.709)."""

MOST_PIXELS = 36_000_000
"""Pixels that are taken from an image; the host hands over 16 bytes for each."""

MOST_SAMPLES = 512
"""Places along each side at which a texture is looked up; the host answers one at a time, about a million a second."""

_kept: dict[str, Any] = {}


def grey_of_image(image: Image) -> Any:
    """Return an image's grey, (rows, columns) float32, 0 dark to 1 light, the top row first; transparent is light.

    Values count as they are stored: of files as they look, of float images as they are. Raises :class:`ArtworkError`
    when there are no pixels, or too many.
    """
    columns, rows = image.size
    if not columns or not rows:
        raise ArtworkError(f"the image {image.name} has no pixels: its file may be missing; pick another or reload it")
    if columns * rows > MOST_PIXELS:
        raise ArtworkError(
            f"the image {image.name} has {columns * rows / 1e6:.0f} million pixels, more than "
            f"{MOST_PIXELS / 1e6:.0f} million: scale it down; a face shows some 5 to a millimetre"
        )
    pixels = np.empty(columns * rows * image.channels, dtype=np.float32)
    image.pixels.foreach_get(pixels)
    return _grey(pixels.reshape(rows, columns, -1), premultiplied=image.is_float)[::-1]


def grey_of_texture(texture: Texture, spacing: float, side: float) -> Any:
    """Return a texture's grey over the square from -1 to 1 that its preview shows too; as for an image.

    ``spacing``: of the points that the face can show, mm; ``side``: of the square on paper, mm.
    """
    count = int(np.clip(np.ceil(side / spacing), 2, MOST_SAMPLES))
    state = (texture.session_uid, count, _state_of(texture))
    if _kept.get("state") != state or texture.type == "IMAGE" or texture.use_nodes:
        _kept["grey"], _kept["state"] = _looked_up(texture, count), state
    return _kept["grey"]


def forget_textures() -> None:
    """Forget what textures looked like."""
    _kept.clear()


def _looked_up(texture: Texture, count: int) -> Any:
    steps = ((2 * np.arange(count) + 1) / count - 1).tolist()
    evaluate = texture.evaluate
    found = chain.from_iterable(evaluate((x, y, 0.0)) for y in reversed(steps) for x in steps)
    values = np.fromiter(found, np.float32, 4 * count * count).reshape(count, count, 4)
    colours, strengths = values[..., :3], values[..., 3]
    # A texture without colours answers with black, and with its strength.
    return _grey(colours if colours.any() else strengths[..., None])


def _grey(pixels: Any, *, premultiplied: bool = False) -> Any:
    """Return the grey of pixels, (rows, columns, channels) float32."""
    channels = pixels.shape[2]
    grey = pixels[..., :3] @ LUMINANCE if channels >= 3 else pixels[..., 0]
    if channels in (2, 4):
        opacity = pixels[..., -1]
        grey = (grey if premultiplied else grey * opacity) + (1.0 - opacity)
    return np.clip(np.nan_to_num(grey, nan=1.0), 0.0, 1.0)


def _state_of(texture: Texture) -> str:
    """Return all that a texture's settings say; what it looks like follows from them."""
    ramp = texture.color_ramp.elements if texture.use_color_ramp else ()
    return repr([*_figures(texture), *((each.position, tuple(each.color)) for each in ramp)])


def _figures(texture: Texture) -> Iterable[Any]:
    for each in texture.bl_rna.properties:
        if each.type in ("BOOLEAN", "INT", "FLOAT", "ENUM"):
            value = getattr(texture, each.identifier)
            yield tuple(value) if getattr(each, "is_array", False) else value
