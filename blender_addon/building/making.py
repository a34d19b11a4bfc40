"""Making the stamp of an order; nothing here touches Blender, so that it may run beside it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from ..artwork.lines.typesetting import TypeCut
from ..stampwright.artwork import Artwork, read_artwork
from ..stampwright.artwork.drawn import Shape
from ..stampwright.artwork.made import make_artwork
from ..stampwright.errors import ArtworkError
from ..stampwright.examination import examine_job
from ..stampwright.face import DenseDie
from ..stampwright.files import png_bytes
from ..stampwright.findings import by_severity
from ..stampwright.job import Job, job_settings
from ..stampwright.job.pieces import set_bolder
from ..stampwright.job.sections.bending import BendSection
from ..stampwright.job.sections.face import FaceSection
from ..stampwright.memory import Fingerprint, Memory, Progress
from ..stampwright.parts import build_backing, build_cushion, build_handle, lay_die
from ..stampwright.parts.rolling import bent_die, build_drum, build_fork, rocker_backing
from ..stampwright.remedy import TYPESETTING, Ways, ways_to_pass
from ..stampwright.solids import Solid
from ..stampwright.stamp import Stamp
from ..stampwright.workshop import draw_for, fitted_size, make_stamp
from .orders import BuildOrder
from .plates import kept, plates_of

COARSER = 4
"""Pixels of an impression, each way, to one of its draft."""


def make(order: BuildOrder, memory: Memory, progress: Progress | None = None) -> Stamp:
    """Make the stamp of an order; touches nothing of Blender's, so that it may run beside it.

    Raises :class:`StampwrightError`, and whatever ``progress`` raises.
    """
    job = order.job
    if progress is not None:
        progress("reading", 0.0)
    # Artwork hangs on these alone: what else the job says is kept from it.
    about_art = Job(
        name=job.name, layout=job.layout, base=job.base, printer=job.printer, tracing=job.tracing, pieces=job.pieces
    )
    if job.laid_on != job.base:
        # Of a bend only a roller's repeat, which is what its artwork is fitted to.
        about_art = replace(about_art, base=job.laid_on)
    if order.plate:
        plates = memory.recall(kept, plates_of(order))
        job, artwork = plates.parted.plate(plates.job, order.plate)
        order = replace(order, noticed=(*order.noticed, *plates.parted.findings) if plates.leads(order) else ())
    else:
        artwork = memory.recall(_artwork_for, about_art, order.shapes, order.file, order.files)
    face = order.face
    memory.recall(_is_textured, job.face, has_sculpt=face.sculpt is not None)
    memory.recall(_form_of, job.bend)
    stamp = make_stamp(job, artwork, sculpt=face.sculpt, picture=face.picture, progress=progress, memory=memory)
    if order.noticed:
        stamp = replace(stamp, findings=by_severity((*stamp.findings, *order.noticed)))
    picture_of(stamp, memory)
    return stamp


def ways_for(order: BuildOrder, memory: Memory, progress: Progress | None = None) -> Ways:
    """Return what would make the stamp of an order pass; touches nothing of Blender's, as :func:`make`.

    Text is set otherwise as far as the order has it drawn so. Raises :class:`StampwrightError`, and whatever
    ``progress`` raises.
    """
    job = order.job

    def read(other: Job) -> Artwork:
        cut = TypeCut.of({path: value for path, value, _ in job_settings(other)})
        return _artwork_for(other, order.cuts.get(cut, order.shapes), order.file, order.files)

    def tell(share: float) -> None:
        if progress is not None:
            progress("looking for ways", share)

    # Pens keep their width on paper however large the rest is made.
    anew = (TYPESETTING, "layout.", "base.") if order.shapes else (TYPESETTING,)
    artwork, picture = read(job), order.face.picture
    examined = examine_job(job, artwork, picture=picture, memory=memory)
    found = ways_to_pass(job, artwork, picture=picture, examined=examined, read=read, anew=anew, progress=tell)
    # A base of one's own is a curve of the scene, which no setting moves.
    return replace(found, found=tuple(way for way in found if "base.points" not in way.settings))


def parts_in(memory: Memory) -> dict[str, Solid | None]:
    """Return the parts that were made last, by name; None for what was not."""
    form = memory.last(_form_of) or "flat"
    if form != "flat":
        return _bent_parts_in(memory, closed=form == "roller")
    handle, _ = memory.last(build_handle) or (None, ())
    dense = dense_in(memory)
    die = memory.last(lay_die) if dense is None else dense.solid
    return {"die": die, "cushion": memory.last(build_cushion), "backing": memory.last(build_backing), "handle": handle}


def _bent_parts_in(memory: Memory, *, closed: bool) -> dict[str, Solid | None]:
    """Return the parts of a rocker or roller that were made last."""
    bent = memory.last(bent_die)
    if closed:
        backing, handle = memory.last(build_drum), memory.last(build_fork)
    else:
        (backing, _), (handle, _) = memory.last(rocker_backing) or (None, None), memory.last(build_handle) or (None, ())
    return {"die": None if bent is None else bent.solid, "cushion": None, "backing": backing, "handle": handle}


def dense_in(memory: Memory) -> DenseDie | None:
    """Return the die with a textured face that was made last, or None when the last one had a plain or bent face."""
    is_flat = (memory.last(_form_of) or "flat") == "flat"
    return memory.last(DenseDie.bearing) if is_flat and memory.last(_is_textured) else None


def picture_of(stamp: Stamp, memory: Memory) -> bytes:
    """Return the picture of a stamp's impression as a file, which is packed away from Blender."""
    return memory.recall(png_bytes, stamp.impression.picture, dpi=stamp.impression.dpi)


def draft_of(stamp: Stamp) -> bytes:
    """Return a small picture of a stamp's impression as a file, for as long as it is about to change again."""
    picture = stamp.impression.picture
    rows, columns = (-(-side // COARSER) for side in picture.shape)
    whole = np.pad(picture, ((0, rows * COARSER - picture.shape[0]), (0, columns * COARSER - picture.shape[1])), "edge")
    small = whole.reshape(rows, COARSER, columns, COARSER).mean(axis=(1, 3))
    return png_bytes(small.astype(picture.dtype), dpi=stamp.impression.dpi / COARSER)


def _is_textured(face: FaceSection, *, has_sculpt: bool) -> bool:
    return face.texture != "none" or bool(face.sculpt) or has_sculpt


def _form_of(bend: BendSection) -> str:
    return bend.form


def _artwork_for(job: Job, shapes: tuple[Shape, ...], file: Path | None, _files: tuple[Fingerprint, ...]) -> Artwork:
    # The fingerprints are there to be compared: the same names may stand for other contents.
    if shapes:
        return draw_for(job, shapes, name=job.name)
    if file is not None:
        return read_artwork(file, fitted_to=fitted_size(job), tracing=job.tracing)
    if job.pieces:
        pieces = set_bolder(job.pieces, job.tracing.text_weight, job.tracing.text_spacing)
        return make_artwork(pieces, name=job.name, fitted_to=fitted_size(job))
    raise ArtworkError("There is no artwork: add a curve, a text or a flat mesh, or choose a file")
