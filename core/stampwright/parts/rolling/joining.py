"""Rollers taller than the printer builds: die and drum printed in two halves, which are joined on the axle.

A die that stands is as tall as the roller is wide. It is cut straight across, in a gap of its face where one goes all
round, else through the ink; its halves butt, glued edge to edge over the drum. The drum's halves have a tongue and a
groove across the joint, on one side only, so that they go together in one way; the axle holds them in line.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, box

from ...curved import Bend
from ...findings import Finding
from ...job.sections.bending import BendSection
from ...job.sections.printing import PrinterSection
from ...solids import Solid, cut, extrude, unite
from ...solids.kernel import halved, settled

Floats = NDArray[np.float64]
Triangles = NDArray[np.int32]

BESIDE = 10.0
"""Room between the two halves as they stand on the bed, mm."""

TONGUE, TALL = 8.0, 4.0
"""Width and height of the drum's tongue, mm; it lies between bore and rim."""

_NEAR, _STEPS = 0.15, 30  # mm; how far a cut may move to keep clear of points, and in how many steps

_MET = 1e-3  # mm; points of the two halves that lie so close were one before they were cut

PLAY = 0.15
"""Gap between tongue and groove, per side, mm (a sliding fit of a desktop printer; common practice)."""

CLEAR = 2.0
"""How far a joint keeps from the ink at most, mm: from there on it is as well hidden anywhere."""

LEAST_GAP = 0.3
"""A gap of the face that a joint goes through is so wide at least, mm."""


def joined(
    bend: Bend, face: MultiPolygon, section: BendSection, printer: PrinterSection
) -> tuple[Bend, tuple[Finding, ...]]:
    """Return the bend of a roller with the place of its joint, if it has one, and what there is to say of that.

    ``face``: outlines of the finished face, die frame. The joint keeps both halves within what the printer builds, and
    goes through the widest gap of the face that it can, or beside the face, near the middle; else through the middle.
    """
    tall = printer.bed_height
    if not bend.closed or section.stands != "standing" or section.band <= tall or section.band > 2.0 * tall:
        return bend, ()
    reach = tall - section.band / 2.0
    spans = shapely.bounds(shapely.get_parts(face))
    low, high = (spans[:, 0], spans[:, 2]) if bend.upward else (spans[:, 1], spans[:, 3])
    # Along the axis the frame round it counts the other way where the die rolls up the paper.
    if bend.upward:
        low, high = -high, -low
    order = np.argsort(low)
    starts, ends = low[order], np.maximum.accumulate(high[order])
    # Beside the face there is room, too.
    gaps = zip(np.concatenate(([-reach], ends)), np.concatenate((starts, [reach])), strict=True)
    within = [(max(float(one), -reach), min(float(other), reach)) for one, other in gaps]
    widest = max(within, key=_room_and_place)
    in_gap = widest[1] - widest[0] > LEAST_GAP
    at = _nearest_middle(widest) if in_gap else 0.0
    return replace(bend, joint=at), (about_joint(in_gap=in_gap, printer=printer, band=section.band),)


def _room_and_place(gap: tuple[float, float]) -> tuple[float, float]:
    """Return by what a gap is chosen: first how wide it is, as far as that matters, then how near to the middle."""
    return min(gap[1] - gap[0], 2.0 * CLEAR), -abs(_nearest_middle(gap))


def _nearest_middle(gap: tuple[float, float]) -> float:
    """Return the place in a gap next to the middle that keeps :data:`CLEAR` of its sides, if it is so wide."""
    clear = min(CLEAR, (gap[1] - gap[0]) / 2.0)
    return min(max(0.0, gap[0] + clear), gap[1] - clear)


def die_in_halves(die: Solid, bend: Bend) -> Solid:
    """Return a die that stands on its end as two halves that stand side by side, the lower one where it was."""
    lower, upper = halved(die, _clear_of_points(die, _cut_at(die, bend)))
    return _side_by_side(lower, upper, bend)


def drum_in_halves(drum: Solid, bend: Bend, section: BendSection) -> Solid:
    """Return a drum that stands on its end as two halves side by side, the lower with the tongue, up."""
    at = _cut_at(drum, bend)
    lower, upper = halved(drum, at)
    bore, rim = section.axle / 2.0 + section.play, float(np.hypot(drum.vertices[:, 0], drum.vertices[:, 1]).max())
    inner, outer = bore + (rim - bore) / 4.0, rim - (rim - bore) / 4.0
    wide = min(TONGUE, outer - inner)
    tall = min(TALL, at / 2.0, (float(drum.vertices[:, 2].max()) - at) / 2.0)
    tongue = extrude(box(inner, -wide / 2.0, outer, wide / 2.0), at - tall, at + tall, name="tongue")
    room = box(inner - PLAY, -wide / 2.0 - PLAY, outer + PLAY, wide / 2.0 + PLAY)
    groove = extrude(room, at - 1.0, at + tall + PLAY, name="groove")
    joined = unite((lower, tongue), name=drum.name)
    # The tongue's lower half lies in the half that it is one with.
    return _side_by_side(joined, cut(upper, [groove], name=drum.name), bend)


def together(solid: Solid, bend: Bend) -> Solid:
    """Return halves that were read from a file as the whole that they make, standing where the lower one stands."""
    aside = solid.vertices[:, 0] > _beside(bend) / 2.0
    vertices = solid.vertices.copy()
    lower = solid.vertices[~aside]
    level = float(lower[:, 2].max())
    vertices[aside] += (-_beside(bend), 0.0, level)
    return Solid(solid.name, vertices, _welded(vertices, solid.triangles, aside, level))


def _welded(
    vertices: Floats, triangles: NDArray[np.int32], aside: NDArray[np.bool_], level: float
) -> NDArray[np.int32]:
    """Return the triangles of two halves that meet at a level as those of one solid, without the faces in between.

    Where their outlines do not meet point by point, they stay as they are.
    """
    level_with = np.abs(vertices[:, 2] - level) < _MET
    open_ended = triangles[~level_with[triangles].all(axis=1)]
    rim = np.flatnonzero(level_with & np.isin(np.arange(len(vertices)), open_ended))
    # Points that lie so close are one: those of either side, and what cutting left beside them.
    near = (np.abs(vertices[rim, None, :2] - vertices[None, rim, :2]) < _MET).all(axis=2)
    number = np.arange(len(vertices), dtype=np.int32)
    number[rim] = rim[near.argmax(axis=1)]
    number[rim] = number[number[rim]]
    both = np.isin(number[rim[~aside[rim]]], number[rim[aside[rim]]]).all()
    if not both or not np.isin(number[rim[aside[rim]]], number[rim[~aside[rim]]]).all():
        return triangles
    joined = number[open_ended]
    whole = (joined[:, 0] != joined[:, 1]) & (joined[:, 1] != joined[:, 2]) & (joined[:, 2] != joined[:, 0])
    return np.asarray(joined[whole])


def _cut_at(solid: Solid, bend: Bend) -> float:
    joint = 0.0 if bend.joint is None else bend.joint
    return float(solid.vertices[:, 2].min() + solid.vertices[:, 2].max()) / 2.0 + joint


def _clear_of_points(solid: Solid, at: float) -> float:
    """Return a height near another, mm, that keeps away from the points of a solid: no sliver is cut off beside it."""
    levels = np.sort(solid.vertices[:, 2])
    tried = at + np.arange(-_STEPS, _STEPS + 1) * (_NEAR / _STEPS)
    above = np.clip(np.searchsorted(levels, tried), 1, len(levels) - 1)
    away = np.minimum(np.abs(tried - levels[above - 1]), np.abs(levels[above] - tried))
    return float(tried[away.argmax()])


def _beside(bend: Bend) -> float:
    return 2.0 * bend.outer + BESIDE


def _side_by_side(lower: Solid, upper: Solid, bend: Bend) -> Solid:
    """Return both as one solid: the upper one on the bed, on its joint, right of the lower one."""
    placed = np.add(upper.vertices, (_beside(bend), 0.0, -float(upper.vertices[:, 2].min())))
    # Farther out, files hold points less finely.
    right = settled(Solid(upper.name, placed, upper.triangles))
    vertices = np.concatenate((lower.vertices, right.vertices))
    return Solid(lower.name, vertices, np.concatenate((lower.triangles, right.triangles + len(lower.vertices))))


def about_joint(*, in_gap: bool, printer: PrinterSection, band: float) -> Finding:
    """Say that a roller comes in halves, and whether its joint goes through the ink."""
    told = "in a gap of the print" if in_gap else "through the ink, where a fine line may show"
    return Finding(
        kind="joined of two halves",
        severity="notes" if in_gap else "warns",
        stage="build",
        message=f"the roller is {band:g} mm wide and the printer builds {printer.bed_height:g} mm: die and drum are "
        f"printed in two halves and joined {told}",
        remedy="Make bend.band less, or print it lying (bend.stands), where it has room",
        measured=band,
        limit=printer.bed_height,
    )
