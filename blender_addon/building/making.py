"""Making the stamp of an order; nothing here touches Blender, so that it may run beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ..scene.stamps import PARTS
from ..stampwright.artwork import Artwork, read_artwork
from ..stampwright.artwork.made import make_artwork
from ..stampwright.errors import ArtworkError
from ..stampwright.face import DenseDie
from ..stampwright.findings import by_severity
from ..stampwright.memory import Memory
from ..stampwright.output.pictures.png import png_bytes
from ..stampwright.solids import Solid
from ..stampwright.stamp import Stamp
from ..stampwright.workshop import draw_for, fitted_size, make_stamp
from .orders import Order

Progress = Callable[[str, float], None]


def make(order: Order, memory: Memory, progress: Progress | None = None) -> Stamp:
    """Make the stamp of an order; touches nothing of Blender's, so that it may run beside it.

    Raises :class:`StampwrightError`, and whatever ``progress`` raises.
    """
    job = order.job
    if progress is not None:
        progress("reading", 0.0)
    made_from = (order.mark, job.name, job.layout, job.base, job.printer, job.tracing, job.pieces)
    artwork = memory.recall("artwork", made_from, lambda: _artwork_for(order))
    face = order.face
    is_textured = job.face.texture != "none" or bool(job.face.sculpt) or face.sculpt is not None
    memory.recall("textured", (is_textured,), lambda: is_textured)
    stamp = make_stamp(job, artwork, sculpt=face.sculpt, picture=face.picture, progress=progress, memory=memory)
    if order.noticed:
        stamp = replace(stamp, findings=by_severity((*stamp.findings, *order.noticed)))
    picture_of(stamp, memory)
    return stamp


def parts_in(memory: Memory) -> dict[str, Solid | None]:
    """Return the parts that were made last, by name; None for what was not."""
    handle, _ = memory.last("handle") or (None, ())
    dense = dense_in(memory)
    die = memory.last("die") if dense is None else dense.solid
    return {**{name: memory.last(name) for name in PARTS}, "handle": handle, "die": die}


def dense_in(memory: Memory) -> DenseDie | None:
    """Return the die with a textured face that was made last, or None when the last one had a plain face."""
    dense: DenseDie | None = memory.last("face") if memory.last("textured") else None
    return dense


def picture_of(stamp: Stamp, memory: Memory) -> bytes:
    """Return the picture of a stamp's impression as a file, which is packed away from Blender."""
    pressed = stamp.impression
    return memory.recall("picture", (pressed,), lambda: png_bytes(pressed.picture, dpi=pressed.dpi))


def _artwork_for(order: Order) -> Artwork:
    job = order.job
    if order.shapes:
        return draw_for(job, order.shapes, name=job.name)
    if order.file is not None:
        return read_artwork(order.file, fitted_to=fitted_size(job), tracing=job.tracing)
    if job.pieces:
        return make_artwork(job.pieces, name=job.name, fitted_to=fitted_size(job))
    raise ArtworkError("There is no artwork: add a curve, a text or a flat mesh, or choose a file")
