"""Coloured artwork from shapes that are drawn elsewhere with several paints, such as the materials of a scene."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ..artwork.coloured.painted import draw_painted, is_paper
from ..artwork.coloured.patches import Coloured
from ..artwork.drawn import Shape
from ..errors import ArtworkError, JobError
from ..inks.separating import in_printing_order
from ..job import Job
from ..job.inks import MOST_INKS, Ink, folder_of
from ..workshop import TOLERANCE, draw_for


def draw_coloured(job: Job, shapes: Sequence[Shape], paints: Mapping[str, str], *, name: str = "") -> Coloured:
    """Return the artwork of shapes in the colours of their paints, as fine as it need be at the job's size.

    ``shapes``: the lowest first, each with the name of its paint; ``paints``: colours, #rrggbb, by name. Raises
    :class:`~stampwright.errors.ArtworkError` when nothing would print.
    """
    inked = [shape for shape in shapes if not (shape.left_out or shape.paper or is_paper(paints[shape.paint]))]
    if shapes and not inked:
        raise ArtworkError(f"{name or 'the drawing'} is white all over: give what shall print another colour")
    fineness = draw_for(job, inked, name=name).tolerance
    return draw_painted(shapes, paints, name=name, tolerance=fineness, magnification=TOLERANCE / fineness)


def inks_of_paints(coloured: Coloured) -> tuple[Ink, ...]:
    """Return an ink for each paint of coloured artwork, in printing order, named for it.

    Raises :class:`~stampwright.errors.ArtworkError` when there is only one, and
    :class:`~stampwright.errors.JobError` when there are more than a set takes.
    """
    if len(coloured.patches) < 2:
        if not coloured.patches[0].source:
            raise ArtworkError("nothing has a material: give what shall print in another ink one of its own")
        raise ArtworkError(
            f"all that is seen is painted with {coloured.patches[0].source}: it takes one ink, so there is nothing to "
            "part; give what shall print in another ink a material of its own"
        )
    if len(coloured.patches) > MOST_INKS:
        raise JobError(
            f"the art is painted with {len(coloured.patches)} materials; a set takes {MOST_INKS} inks at most, each "
            "pressed in register: give the same material to what shall print in one ink"
        )
    inks: list[Ink] = []
    for patch in coloured.patches:
        plain = name = folder_of(patch.source) or "ink"
        number = 2
        while any(folder_of(each.name).casefold() == name.casefold() for each in inks):
            name, number = f"{plain}-{number}", number + 1
        inks.append(Ink(name=name, colour=_own_colour(patch.colour, inks), layers=(patch.source,)))
    return tuple(replace(ink, order=number) for number, ink in enumerate(in_printing_order(inks), start=1))


def _own_colour(colour: str, inks: Sequence[Ink]) -> str:
    """Return a colour, or the next to it that none of the inks has."""
    value = int(colour[1:], 16)
    while any(int(ink.colour[1:], 16) == value for ink in inks):
        value = value - 1 if value else value + 1
    return f"#{value:06x}"
