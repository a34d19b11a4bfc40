"""A job's textured face: what it is made from, read or given; the die that bears it; and what it prints."""

from __future__ import annotations

from pathlib import Path

import shapely
from shapely.geometry import MultiPolygon, Polygon

from ..errors import JobError
from ..findings import Finding
from ..job import Job
from ..layout import Layout
from ..memory import Memory
from ..parts import dense_face, face_outlines, snap_heights
from ..plane.pictures import read_picture
from ..plane.regions import filled_parts
from ..press import Impression, impress_uneven
from ..stamp import TexturedFace
from . import (
    FaceMap,
    Grey,
    LaidPicture,
    Printer,
    examine_maps,
    judge_texture,
    lay_picture,
    make_grain,
    measure_texture,
    read_face_map,
)


def read_sculpt_of(job: Job, memory: Memory) -> FaceMap | None:
    """Return the sculpt that a job names, or None; raises :class:`~stampwright.errors.JobError` when it is none."""
    path = job.face.sculpt
    return memory.recall("sculpt", _state_of(path), lambda: read_face_map(path)) if path else None


def lay_picture_of(job: Job, base: Polygon, memory: Memory, picture: Grey | None = None) -> LaidPicture | None:
    """Return the grey picture of a job's texture or tone as it lies on paper, or None when the job needs none.

    ``picture``: in place of the file that the job names. Raises :class:`~stampwright.errors.StampwrightError` when
    there is none or it cannot be read.
    """
    face = job.face
    if face.texture != "picture" and face.tone == "none":
        return None
    if picture is None:
        if not face.picture:
            use = "face.texture = picture" if face.texture == "picture" else f"face.tone = {face.tone}"
            raise JobError(f"{use} needs a picture: set face.picture to a grey PNG, TIFF or JPEG")
        picture = memory.recall("picture", _state_of(face.picture), lambda: read_picture(face.picture).grey)
    return lay_picture(picture, base.bounds, width=face.picture_width, turn=face.turn)


def texture_face(
    job: Job, layout: Layout, memory: Memory, *, sculpt: FaceMap | None, picture: LaidPicture | None
) -> tuple[TexturedFace | None, tuple[Finding, ...]]:
    """Return the textured face of a job, or None when it has neither texture nor sculpt, and what is to be said of it.

    Raises :class:`~stampwright.errors.SolidError` when no sound die can be made.
    """
    if job.face.texture == "none" and sculpt is None:
        return None, ()
    heights, inked = snap_heights(job), layout.inked
    raised_by = (inked, layout.base, job.die, job.ink, job.printer, job.backing, job.face.fineness, job.face.depth)
    bare = memory.recall("dense die", raised_by, lambda: dense_face(job, inked, layout.base))
    printer = Printer(job.printer.line_width, job.printer.layer)

    def grained() -> tuple[FaceMap | None, tuple[Finding, ...]]:
        plain = _with_surroundings(layout.plain, inked, bare.spacing)
        return make_grain(job.face, inked.bounds, bare.spacing, printer, depth=bare.depth, plain=plain, picture=picture)

    grain, about_grain = memory.recall("grain", (bare, job.face, printer, layout.plain, picture), grained)
    dense = memory.recall("face", (bare, grain, sculpt), lambda: bare.bearing(grain, sculpt))
    about_maps = memory.recall("maps", (dense, inked), lambda: examine_maps(dense, inked) if sculpt else ())
    figures = memory.recall("texture", (dense, heights.dressing), lambda: measure_texture(dense, heights.dressing))
    about = judge_texture(figures, fineness=job.face.fineness, line_width=printer.line_width)
    return TexturedFace(dense, figures), (*about_grain, *about_maps, *about)


def press_face(job: Job, layout: Layout, face: TexturedFace, memory: Memory) -> Impression:
    """Return what a textured face prints under the job's push: light where it lies lower."""
    outlines: MultiPolygon = face_outlines(job, layout.inked)
    allowance = face.figures.allowance
    return memory.recall(
        "press textured",
        (face.dense, outlines, allowance, job.die, job.base, job.press, job.ink, job.cushion, job.backing, job.handle),
        lambda: impress_uneven(job, face.dense.solid, outlines, allowance=allowance),
    )


def _with_surroundings(plain: MultiPolygon, inked: MultiPolygon, spacing: float) -> MultiPolygon:
    """Return plain ink with what lies round it and is no other ink, so that its edge is plain between samples too."""
    if plain.is_empty:
        return plain
    return filled_parts(shapely.difference(shapely.buffer(plain, 1.5 * spacing), shapely.difference(inked, plain)))


def _state_of(path: str) -> tuple[str, int, int]:
    """Return a file's name, time of change and size, by which it is known again; zeros when there is no such file."""
    try:
        state = Path(path).stat()
    except OSError:
        return path, 0, 0
    return path, state.st_mtime_ns, state.st_size
