"""A textured face: what it is made from, read or given, and the die that bears it."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry import MultiPolygon

from ...errors import JobError
from ...findings import Finding
from ...job.sections.face import FaceSection
from ...memory import Fingerprint, Memory, fingerprint
from ...plane.overlays import without
from ...plane.rasters.pictures import read_picture
from ...plane.regions import filled_parts
from ..dense import DenseDie
from ..face_map import Bounds, FaceMap
from ..files import read_face_map
from ..raising import DieShape, dense_face
from ..sculpts.settling import examine_maps
from .figures import TextureFigures, judge_texture, measure_texture
from .graining import Bead, Grey, LaidPicture, lay_picture, make_grain


@dataclass(frozen=True, eq=False)
class TexturedFace:
    """A die's face that bears a texture: the dense die with the maps that shape it, and what the texture amounts to."""

    dense: DenseDie
    figures: TextureFigures


def recall_sculpt(path: str, memory: Memory) -> FaceMap | None:
    """Return the sculpt in a file, None for no path; read again only when the file has changed.

    Raises :class:`~stampwright.errors.JobError` when the file is none.
    """
    return memory.recall(_sculpt_in, fingerprint(path)) if path else None


def recall_picture(
    face: FaceSection, bounds: Bounds, memory: Memory, picture: Grey | None = None
) -> LaidPicture | None:
    """Return the grey picture of a texture or tone as it lies on paper, or None when neither needs one.

    ``bounds``: of the base, mm, paper frame. ``picture``: in place of the file that the section names; that is read
    again only when it has changed. Raises :class:`~stampwright.errors.StampwrightError` when there is none or it cannot
    be read.
    """
    if face.texture != "picture" and face.tone == "none":
        return None
    if picture is None:
        if not face.picture:
            use = "face.texture = picture" if face.texture == "picture" else f"face.tone = {face.tone}"
            raise JobError(f"{use} needs a picture: set face.picture to a grey PNG, TIFF or JPEG")
        picture = memory.recall(_grey_in, fingerprint(face.picture))
    return lay_picture(picture, bounds, width=face.picture_width, turn=face.turn)


def texture_face(
    shape: DieShape,
    face: FaceSection,
    inked: MultiPolygon,
    plain: MultiPolygon,
    *,
    depth: float,
    dressing: float,
    bead: Bead,
    sculpt: FaceMap | None = None,
    picture: LaidPicture | None = None,
    memory: Memory | None = None,
) -> tuple[TexturedFace | None, tuple[Finding, ...]]:
    """Return a die's textured face, or None when it has neither texture nor sculpt, and what is to be said of it.

    ``shape``: what the die is raised from. ``inked``: the artwork on it, and ``plain``: its ink that takes no texture,
    mm, paper frame. ``depth``: how far the face may go down, and
    ``dressing``: what dressing takes off it, mm. Raises :class:`~stampwright.errors.SolidError` when no
    sound die can be made.
    """
    if face.texture == "none" and sculpt is None:
        return None, ()
    recall = (memory or Memory()).recall
    bare = recall(dense_face, shape, depth=depth, spacing=bead.line_width / face.fineness)
    around = recall(_with_surroundings, plain, inked, bare.spacing)
    grain, about_grain = recall(
        make_grain, face, inked.bounds, bare.spacing, bead, depth=bare.depth, plain=around, picture=picture
    )
    dense = recall(DenseDie.bearing, bare, grain, sculpt)
    about_maps = recall(examine_maps, dense, inked) if sculpt is not None else ()
    figures = recall(measure_texture, dense, dressing)
    about = judge_texture(figures, fineness=face.fineness, line_width=bead.line_width)
    return TexturedFace(dense, figures), (*about_grain, *about_maps, *about)


def _sculpt_in(file: Fingerprint) -> FaceMap:
    return read_face_map(file.path)


def _grey_in(file: Fingerprint) -> Grey:
    return read_picture(file.path).grey


def _with_surroundings(plain: MultiPolygon, inked: MultiPolygon, spacing: float) -> MultiPolygon:
    """Return plain ink with what lies round it and is no other ink, so that its edge is plain between samples too."""
    if plain.is_empty:
        return plain
    return filled_parts(without(shapely.buffer(plain, 1.5 * spacing), without(inked, plain)))
