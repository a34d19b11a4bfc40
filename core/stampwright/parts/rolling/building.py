"""A bent die from its job, and the backing and foot of a rocker."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ...curved import Bend, bend_die, bend_plate, lay_seam, unroll
from ...face import DieShape
from ...job.bent import radius_of, repeat_of
from ...job.heights import die_heights, whole_layers
from ...job.sections.bending import BendSection
from ...job.sections.parts import BackingSection, CushionSection, DieSection
from ...solids import Solid
from ..backing import backing_height, backing_outline, build_backing, seat_height

_FINE = 1.0  # mm; the foot's outline is looked at this closely where it narrows with the arc


@dataclass(frozen=True, eq=False)
class BentDie:
    """A die that was raised flat and then bent: ``solid``, lying face up, and how it is bent."""

    solid: Solid
    bend: Bend


def bend_of(section: BendSection, die: DieSection, backing: BackingSection, *, layer: float) -> Bend | None:
    """Return how a job bends its die, in whole layers of ``layer`` mm; None for a flat one."""
    if section.form == "flat":
        return None
    floor, relief, dressing = die_heights(die, layer)
    plate = whole_layers(backing.thickness, layer) if backing.form == "one-piece" else 0.0
    closed = section.form == "roller"
    repeat = repeat_of(section) if closed else 0.0
    return Bend(
        radius=radius_of(section),
        height=plate + floor + relief,
        dressing=dressing,
        upward=section.rolls == "up",
        repeat=repeat,
        turns=section.turns if closed else 0,
        seam=repeat / 2.0,
    )


def seamed(shape: DieShape, bend: Bend, *, seam: str, attempt: int) -> tuple[DieShape, Bend]:
    """Return what a roller's die is raised from, from seam to seam, and the bend with its seam placed.

    ``seam``: the job's own choice; ``attempt``: which of the places that a seam through ink may have, the best being 0.
    Raises :class:`~stampwright.errors.SolidError` when the artwork is longer than its repeat.
    """
    heights = replace(shape.heights, chamfer=0.0)
    reach = (heights.face - heights.floor) * math.tan(math.radians(shape.shoulder))
    face, floor, bend = lay_seam(shape.face, shape.floor, bend, reach=reach, at_end=seam == "end", attempt=attempt)
    return DieShape(face, floor, heights, shape.shoulder), bend


def bent_die(flat: Solid, bend: Bend, backing: BackingSection) -> BentDie:
    """Return a die bent; ``backing``: in one piece with it, it is filled up to a plane.

    Raises :class:`~stampwright.errors.SolidError` when it cannot be bent.
    """
    return BentDie(*bend_die(flat, bend, flat_underside=backing.form == "one-piece"))


def unrolled_once(bent: BentDie) -> Solid:
    """Return one repeat of a roller flat again, from end to end of the base that the artwork was laid out on."""
    return unroll(bent.solid, bent.bend, "lying")[0]


def rocker_backing(
    base: Polygon, backing: BackingSection, cushion: CushionSection, bend: Bend, *, layer: float, up_mark: bool
) -> tuple[Solid | None, Bend]:
    """Return a rocker's backing, if it has one of its own, and the bend with the plane that a handle stands on.

    Arguments are those of :func:`~stampwright.parts.build_backing`. Raises :class:`~stampwright.errors.SolidError`
    when it cannot be bent.
    """
    plate = build_backing(base, backing, cushion, layer=layer, up_mark=up_mark)
    return (None, bend) if plate is None else bend_plate(plate, bend, lies_on=seat_height(backing, layer))


def rocker_foot(
    base: Polygon, backing: BackingSection, cushion: CushionSection, bend: Bend, *, layer: float
) -> Polygon:
    """Return the base whose backing has the outline of a rocker's underside: what a handle is built over.

    ``base``: outline of the flat die, paper frame, mm.
    """
    margin, side = 0.0, bend.inner
    if backing.form == "plate":
        lies_on = seat_height(backing, layer)
        margin = backing.clearance + backing.rim if backing.seat_depth > 0 else 0.0
        side = bend.inner + backing_height(backing, cushion, layer) - lies_on
    along = 1 if bend.upward else 0

    def narrowed(points: NDArray[np.float64]) -> NDArray[np.float64]:
        foot = points.copy()
        foot[:, along] = side * np.sin(points[:, along] / bend.radius)
        return foot

    outline = shapely.segmentize(backing_outline(base, backing), _FINE)
    foot = shapely.transform(outline, narrowed).simplify(0.001)
    drawn_in = foot.buffer(-margin, join_style="mitre") if margin else foot
    return foot if isinstance(drawn_in, MultiPolygon) or drawn_in.is_empty else drawn_in
