"""Text set otherwise than it is drawn, as a stamp's tracing asks: in the bold cut of its family, its letters apart."""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy

from ... import loading

if TYPE_CHECKING:
    from bpy.types import Depsgraph, Object, VectorFont

BOLD = 600.0
"""Weight from which on the bold cut is asked for; the host keeps two cuts of a text's font."""

BUILT_IN = "<builtin>"
"""Path of the host's own font, of which there is one cut."""


@dataclass(frozen=True)
class TypeCut:
    """How text is set: ``bold``, and by how many hundredths of its size its letters stand further apart."""

    bold: bool = False
    apart: int = 0

    @staticmethod
    def of(values: dict[str, Any]) -> TypeCut:
        """Return what settings of a job, by path, ask for; space goes up to whole hundredths."""
        apart = math.ceil(100.0 * values["tracing.text_spacing"] - 1e-6)
        return TypeCut(values["tracing.text_weight"] >= BOLD, apart)


AS_DRAWN = TypeCut()


@contextmanager
def set_text(seen: Object, depsgraph: Depsgraph, cut: TypeCut) -> Iterator[Any]:
    """Give an evaluated text as a curve, set as asked; text that follows a curve stays as it is drawn."""
    data: Any = seen.data
    if cut == AS_DRAWN or data.follow_curve is not None:
        try:
            yield seen.to_curve(depsgraph)
        finally:
            seen.to_curve_clear()
        return
    held: Any = seen.original.data.copy()
    other = bpy.data.objects.new(seen.name, held)
    try:
        # Older hosts add half of what is said over one to each letter of type of size one, newer ones take it times the
        # letter's width, which is half the size on the average.
        held.space_character += 2.0 * cut.apart / 100.0
        if cut.bold:
            _embolden(held)
        yield other.to_curve(depsgraph)
    finally:
        other.to_curve_clear()
        bpy.data.objects.remove(other)
        bpy.data.curves.remove(held)


def is_set(drawn: Object) -> bool:
    """Whether an object is text that can be set otherwise: modifiers and curves bring it where only the host knows."""
    data: Any = drawn.data
    return drawn.type == "FONT" and data.follow_curve is None and not drawn.modifiers


def _embolden(held: Any) -> None:
    bold = _bold_of(held)
    if bold is None:
        return
    held.font_bold = bold
    for letter in held.body_format:
        letter.use_bold = True


def _bold_of(held: Any) -> VectorFont | None:
    """Return the bold cut of a text's font: the one that it names, or the family's among the fonts of the system."""
    named: VectorFont | None = held.font_bold
    if named is not None and named != held.font and named.filepath != BUILT_IN:
        return named
    path = bpy.path.abspath(held.font.filepath) if held.font is not None else BUILT_IN
    if path == BUILT_IN or not Path(path).is_file():
        return None
    fonts = loading.load("stampwright.artwork.fonts")
    own = fonts.read_font(path)
    bolder, said = fonts.find_font(own.family, 700.0, "italic" if own.italic else "normal")
    # The host takes a file as it is: of a variable one no other weight, of a collection the first font alone.
    usable = not said and bolder.weight >= BOLD and bolder.weights[0] == bolder.weights[1] and bolder.number == 0
    return bpy.data.fonts.load(str(bolder.path), check_existing=True) if usable else None
