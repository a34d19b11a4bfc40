"""What paper says of a textured face: what it bears, how deep, and what dressing leaves of it."""

from __future__ import annotations

from ...looks.numbers import newtons, percent
from ...press import pushed_with
from ...stamp import Stamp


def push_in_words(stamp: Stamp) -> str:
    """Return the push that a textured face is shown with: the job's, or as much of it as so small a face is given."""
    press = stamp.job.press
    return newtons(pushed_with(press.force, press.pressure, stamp.outlines.area))


def face_in_words(stamp: Stamp) -> str:
    """Return what the face bears and how deep, or nothing for a plain one."""
    face, texture = stamp.face, stamp.job.face.texture
    if face is None:
        return ""
    borne = [] if texture == "none" else [texture.replace("-", " ")]
    if face.dense.sculpt is not None:
        borne.append("a sculpt")
    deepest, layer = face.figures.deepest, stamp.job.printer.layer
    return f"{' and '.join(borne)}, {deepest:.2f} mm or {deepest / layer:.0f} layers deep at most"


def dressing_in_words(stamp: Stamp) -> str:
    """Return what dressing does to the texture and how it is spared, or nothing for a plain face."""
    if stamp.face is None:
        return ""
    figures = stamp.face.figures
    if figures.dressing <= 0:
        return "The face is textured: take off its highest beads only; every stroke makes hollows shallower."
    left = f"leaves hollows of {figures.deepest_left:.2f} mm" if figures.deepest_left > 0 else "leaves none of it"
    return (
        f"The face is textured: dressing takes {percent(figures.dressed_share)} of the texture and {left}. Stop as "
        "soon as it prints; with nothing to dress off, all of it stays."
    )
