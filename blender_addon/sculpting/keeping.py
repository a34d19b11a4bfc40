"""Height maps kept in the file, as properties of the data that they belong to: the stamp's root, and its die's mesh.

Why properties: they are undone, saved, appended and duplicated with the very data that they say something of, so that
none comes back without the other, and a million floats go in and out in a few milliseconds. An image's pixels are not
under undo. Data of its own is, but undo leaves it as it is where a timer has changed it since the last step.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

import numpy as np

from ..stampwright.errors import StampwrightError
from ..stampwright.face import FaceMap

if TYPE_CHECKING:
    from bpy.types import ID

GRAIN = "stampwright_grain"
"""Name of the map of the texture that a die's mesh bears; that of the sculpt is ``stamps.SCULPT``."""

PLACE_PROPERTY = "_place"
"""After the name: how many rows a map has, x and y of its corner, and its spacing, mm."""


def keep_map(holder: ID, name: str, face_map: FaceMap | None) -> None:
    """Keep a map with some data, in place of the one that is there; None takes it away."""
    for each in (name, name + PLACE_PROPERTY):
        # An array that is set anew in another length overruns the old one in the host.
        if each in holder:
            del holder[each]
    if face_map is None:
        return
    holder[name] = np.ascontiguousarray(face_map.heights, dtype=np.float32).ravel()
    x, y = face_map.corner
    holder[name + PLACE_PROPERTY] = [float(face_map.heights.shape[0]), float(x), float(y), float(face_map.spacing)]


def kept_map(holder: ID, name: str) -> FaceMap | None:
    """Return the map that is kept with some data, or None; raises :class:`StampwrightError` when it is damaged."""
    if name not in holder:
        return None
    try:
        rows, x, y, spacing = holder[name + PLACE_PROPERTY]
        heights = np.array(holder[name], dtype=np.float32).reshape(int(rows), -1)
    except (KeyError, TypeError, ValueError) as error:
        raise StampwrightError(f"{holder.name} holds no height map any more: undo that, or clear the sculpt") from error
    return FaceMap(heights, (x, y), spacing)


def flat_map() -> FaceMap:
    """Return the map of a face that is not sculpted yet; reading brings it to the face's own size and fineness."""
    return FaceMap(np.zeros((1, 1), dtype=np.float32), (-0.5, -0.5), 1.0)


def mark_of(face_map: FaceMap) -> str:
    """Return a fingerprint of a map."""
    place = (face_map.heights.shape, face_map.corner, face_map.spacing)
    mark = hashlib.blake2b(repr(place).encode(), digest_size=12)
    mark.update(np.ascontiguousarray(face_map.heights).tobytes())
    return mark.hexdigest()
