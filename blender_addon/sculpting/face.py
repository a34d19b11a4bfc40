"""The face that a stamp is to have besides its job's settings: read from the scene for an order, shown on the die."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from ..job import changes
from ..scene.greys import grey_of_image, grey_of_texture
from ..scene.stamps import SCULPT, part_of
from ..stampwright.errors import ArtworkError
from ..stampwright.face import DenseDie, FaceMap
from ..stampwright.job import Job
from . import session
from .keeping import kept_map, mark_of
from .surface import bear, has_form, is_moved, release

if TYPE_CHECKING:
    from bpy.types import Object, Scene


@dataclass(frozen=True, eq=False)
class SculptedFace:
    """Sculpt and picture of a face, and a fingerprint of both."""

    sculpt: FaceMap | None
    picture: Any
    mark: str


def read_face(root: Object, job: Job) -> SculptedFace:
    """Return the face that a stamp is to have.

    A stamp that was turned up to be sculpted is stood back first, once that is over. Raises :class:`StampwrightError`
    when sculpt or picture cannot be read.
    """
    with changes.quiet():
        session.stand_back(root)
    sculpt, picture = kept_map(root, SCULPT), _picture(root, job)
    mark = f"{'' if sculpt is None else mark_of(sculpt)} {'' if picture is None else _mark_of_grey(picture)}"
    return SculptedFace(sculpt, picture, mark)


def may_write(root: Object, dense: DenseDie | None, last: str, scene: Scene) -> bool:
    """Whether the die's mesh may be brought to ``dense`` now.

    Not when it holds strokes that were not read yet (``last``: the fingerprint of what was read), and, while it is
    sculpted, only when more than the sculpt itself has changed: what brushes made too high or too deep stays as it is
    until the artist has done.
    """
    die = part_of(root, "die")
    if die is None or dense is None or SCULPT not in root:
        return True
    if is_moved(die, last):
        return False
    return not (session.is_sculpted(root) and has_form(die, dense, scene))


def show_face(root: Object, dense: DenseDie | None, scene: Scene) -> None:
    """Make a die that has just been written one that is sculpted on, or not, as the stamp has a sculpt or none."""
    die = part_of(root, "die")
    if die is None:
        return
    if dense is not None and SCULPT in root:
        bear(die, dense, scene)
    else:
        release(die)


def _picture(root: Object, job: Job) -> Any:
    """Return the grey that the face's texture or the tone is made from, or None."""
    held = root.stampwright
    if job.face.texture != "picture" and job.face.tone == "none":
        return None
    if held.picture_from == "TEXTURE" and held.face_texture is not None:
        side = job.face.picture_width or max(job.base.width, job.base.height)
        return grey_of_texture(held.face_texture, job.printer.line_width / job.face.fineness, side)
    if held.picture_from == "IMAGE" and held.face_image is not None:
        return grey_of_image(held.face_image)
    if not job.face.picture:
        raise ArtworkError(
            "Pick an image or a texture for the picture of the face, or set its texture and tone to none"
        )
    return None


def _mark_of_grey(grey: Any) -> str:
    return hashlib.blake2b(repr(grey.shape).encode() + np.ascontiguousarray(grey).tobytes(), digest_size=12).hexdigest()
