"""The proof of a set in colour, from the stamps that were made; nothing here touches Blender."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..stampwright.files import png_bytes
from ..stampwright.memory import Progress
from ..stampwright.sets.making import InkSet, set_of
from ..stampwright.sets.picture import DPI, set_picture
from ..stampwright.stamp import Stamp
from .orders import BuildOrder
from .plates import plates_of


@dataclass(frozen=True, eq=False)
class InkProof:
    """A set printed in perfect register, and as its worst miss: as data, and as pictures, PNG.

    ``shape``: rows and columns of the picture in register.
    """

    made: InkSet
    picture: bytes
    worst: bytes
    shape: tuple[int, int]


def prove(order: BuildOrder, stamps: Mapping[str, Stamp], progress: Progress) -> InkProof:
    """Return what the stamps of a set print together, by the name of their inks; ``order``: that of any of them.

    Raises :class:`StampwrightError`, and whatever ``progress`` raises.
    """
    progress("throw the inks", 0.0)
    plates = plates_of(order)
    ordered = [stamps[each.ink.name] for each in plates.parted.trapped.separations]
    made = set_of(plates.job, plates.coloured, plates.parted, ordered)
    progress("picture the set", 0.6)
    shown = set_picture(made.misregister.perfect.printed, made.colours)
    worst = set_picture(made.misregister.worst.printed, made.colours)
    return InkProof(made, png_bytes(shown, dpi=DPI), png_bytes(worst, dpi=DPI), (shown.shape[0], shown.shape[1]))
