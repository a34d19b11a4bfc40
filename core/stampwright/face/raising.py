"""What a die is raised from, and the die whose face is dense enough to bear a texture."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import MultiPolygon, Polygon

from ..job.heights import die_heights, whole_layers
from ..job.sections.parts import BackingSection, DieSection
from ..plane.frames import paper_to_die
from ..plane.repeats import Repeat
from ..solids import ReliefHeights
from .dense import DenseDie, raise_dense
from .drawing_in import draw_in


@dataclass(frozen=True)
class DieShape:
    """What a die is raised from.

    ``face``: the finished face, and ``floor``: the outline of what it stands on, mm, die frame. ``heights`` over the
    bed, mm; ``shoulder``: flare of the flanks, degrees from the vertical.
    """

    face: MultiPolygon
    floor: Polygon
    heights: ReliefHeights
    shoulder: float


def face_outlines(
    inked: MultiPolygon, die: DieSection, *, spread: float, line_width: float, repeat: Repeat | None = None
) -> MultiPolygon:
    """Return the finished face that shall print ``inked``, mm, paper frame: the ink, or the ink less its spread.

    ``spread``: of the ink past an edge, ``line_width``: what the printer lays, mm. ``repeat``: how the ink comes
    again, where a roller prints it: it is not drawn in where it goes on.
    """
    if not die.compensate_spread:
        return inked
    if repeat is None:
        return draw_in(inked, spread, least_width=line_width)
    return repeat.once(draw_in(repeat.around(inked), spread, least_width=line_width))


def shape_die(
    outlines: MultiPolygon, base: Polygon, die: DieSection, backing: BackingSection, *, layer: float
) -> DieShape:
    """Return what a die is raised from, in whole layers of ``layer`` mm.

    ``outlines``: the finished face, as :func:`face_outlines` gives it; ``base``: the outline of the floor; both mm,
    paper frame. With a backing in one piece, the plate is the lower part of the die.
    """
    # The one reversal on the way to the die.
    return DieShape(paper_to_die(outlines), paper_to_die(base), relief_heights(die, backing, layer), die.shoulder)


def relief_heights(die: DieSection, backing: BackingSection, layer: float) -> ReliefHeights:
    """Return a die's heights over the bed in whole layers of ``layer`` mm, on its backing where the two are one."""
    floor, relief, dressing = die_heights(die, layer)
    plate = whole_layers(backing.thickness, layer) if backing.form == "one-piece" else 0.0
    finished = plate + floor + relief
    return ReliefHeights(floor=plate + floor, face=finished, top=finished + dressing, chamfer=die.chamfer)


def dense_face(shape: DieShape, *, depth: float, spacing: float) -> DenseDie:
    """Return the die with a dense face, untouched as yet, that bears maps up to ``depth`` mm deep.

    ``spacing``: of the face's points, mm. The relief stands upright below its face by the depth; from there down it is
    as every die. Raises :class:`~stampwright.errors.SolidError` when there is no ink on the base, no sound solid can be
    made, or there would be too many points.
    """
    return raise_dense(
        shape.face,
        shape.floor,
        shape.heights,
        depth=depth,
        shoulder=shape.shoulder,
        spacing=spacing,
        name="die",
    )
