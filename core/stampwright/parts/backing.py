"""The backing: the stiff plate between die and handle, with its seat, glue grooves and up mark."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from ..errors import SolidError
from ..findings import Finding
from ..job.heights import backing_heights, whole_layers
from ..job.sections.parts import BackingSection, CushionSection, DieSection
from ..plane.frames import paper_to_die
from ..plane.overlays import all_joined, common
from ..solids import Solid, sides_of_circle
from ..solids.pockets import Pocket, sink_pockets
from .key import LIP_HEIGHT, lip_of, with_key
from .up_mark import nick

SAFE_RIM_DROP = 1.0
"""Least drop from the die's finished face to the backing's rim, mm, that keeps the rim off paper (common practice)."""


MOST_GROOVES = 60
"""Glue grooves each way at most; more take long to build and no more glue than these."""


def backing_outline(base: Polygon, backing: BackingSection) -> Polygon:
    """Return what the handle's foot has to cover, paper frame, mm: the plate's outline, or the base's without a plate.

    A plate with a seat is wider than the die by clearance and rim.
    """
    seated = backing.form == "plate" and backing.seat_depth > 0
    return _grown(base, backing.clearance + backing.rim if seated else 0.0)


def build_backing(
    base: Polygon, backing: BackingSection, cushion: CushionSection, *, layer: float, up_mark: bool
) -> Solid | None:
    """Return the plate in the die frame, seat up, standing on z = 0, or None when it has no plate of its own.

    ``base``: the die's outline, paper frame, mm. ``layer``: of the print, mm. ``up_mark``: whether its rim shows which
    side is up. A cushion lies in the seat under the die: the seat is as much deeper,
    and the plate as much thicker. The other face stays plain, for the handle. Raises :class:`SolidError` when the
    outline makes no sound plate.
    """
    if backing.form != "plate":
        return None
    plate, seat = backing_outline(base, backing), _grown(base, backing.clearance)
    if backing.key:
        plate = with_key(plate)
    lip = lip_of(plate) if backing.key else None
    if up_mark:
        plate = nick(plate, depth=_mark_depth(backing))
    top, lies_on = backing_height(backing, cushion, layer), seat_height(backing, layer)
    if lip and top < lip_height(layer) + layer:
        least = lip_height(layer) + 2 * layer
        raise SolidError(
            f"the backing is {top:g} mm thick, and its lip {lip_height(layer):g} mm of that, so nothing of it would go "
            f"into a gauge; set backing.thickness to {least:g} or more, or register.gauge to false"
        )
    pockets: list[Pocket] = []
    if lies_on < top:
        pockets.append((paper_to_die(seat), lies_on))
    grooves = groove_region(seat if lies_on < top else plate, backing)
    depth = backing_heights(backing, layer).groove_depth
    if not grooves.is_empty and depth > 0:
        pockets.append((paper_to_die(grooves), lies_on - depth))
    return sink_pockets(
        paper_to_die(plate),
        top,
        pockets,
        name="backing",
        mouth=backing.chamfer if lies_on < top else 0.0,
        lip=(paper_to_die(lip), lip_height(layer)) if lip else None,
    )


def backing_height(backing: BackingSection, cushion: CushionSection, layer: float) -> float:
    """Return the whole height of the plate, mm, in whole layers: a cushion in its seat adds its own thickness."""
    heights = backing_heights(backing, layer)
    return heights.backing + (whole_layers(cushion.thickness, layer) if heights.seat_depth > 0 else 0.0)


def lip_height(layer: float) -> float:
    """Return how thick the lip of a keyed plate is, mm, in whole layers."""
    return whole_layers(LIP_HEIGHT, layer)


def seat_height(backing: BackingSection, layer: float) -> float:
    """Return the height over the plate's underside, mm, of the face that the die, or the cushion under it, lies on."""
    heights = backing_heights(backing, layer)
    return heights.backing - heights.seat_depth


def examine_backing(backing: BackingSection, die: DieSection) -> tuple[Finding, ...]:
    """Return what stands against the plate: a rim so close to the paper that it would print."""
    if backing.form != "plate" or backing.seat_depth == 0:
        return ()
    drop = die.floor + die.relief - backing.seat_depth
    if drop >= SAFE_RIM_DROP:
        return ()
    return (
        Finding(
            kind="high rim",
            severity="blocks" if drop <= 0 else "warns",
            stage="build",
            message=f"the backing's rim stands {drop:.2f} mm below the die's face; pressed, it may touch the paper",
            remedy=f"Make backing.seat_depth {backing.seat_depth - (SAFE_RIM_DROP - drop):.2f} mm or less",
            measured=drop,
            limit=SAFE_RIM_DROP,
        ),
    )


def groove_region(face: Polygon, backing: BackingSection) -> MultiPolygon:
    """Return the glue grooves on a glue face, a grid that keeps clear of its edge; empty when none are wanted.

    A grid rather than rings: glue runs along it to where there is room, and air leaves by it. On a face so large that
    it would take more than :data:`MOST_GROOVES` each way, they are spaced wider.
    """
    if not backing.grooves:
        return MultiPolygon()
    left, bottom, right, top = face.bounds
    half = backing.groove_width / 2
    spacing = max(backing.groove_spacing, max(right - left, top - bottom) / MOST_GROOVES)
    within = face.buffer(-max(2 * half, 1.0), join_style="mitre")
    if within.is_empty:
        return MultiPolygon()
    middle = ((left + right) / 2, (bottom + top) / 2)
    upright = [shapely.box(x - half, bottom, x + half, top) for x in _lines(left, right, middle[0], spacing)]
    level = [shapely.box(left, y - half, right, y + half) for y in _lines(bottom, top, middle[1], spacing)]
    clipped = common(all_joined([*upright, *level]), within)
    # Slivers, where a groove only grazes the edge, are no grooves.
    opened = clipped.buffer(-0.4 * half, join_style="mitre").buffer(0.4 * half, join_style="mitre")
    return MultiPolygon([part for part in shapely.get_parts(opened) if part.area > 4 * half * half])


def _lines(low: float, high: float, middle: float, spacing: float) -> list[float]:
    # Half a spacing off the middle, so that four whole cells meet in it and the pattern is symmetrical.
    reach = math.ceil((high - low) / 2 / spacing)
    offsets = (np.arange(-reach, reach) + 0.5) * spacing
    return [middle + offset for offset in offsets if low < middle + offset < high]


def _grown(base: Polygon, by: float) -> Polygon:
    solid = Polygon(base.exterior)
    grown = solid.buffer(by, quad_segs=max(4, sides_of_circle(by) // 4)) if by > 0 else solid
    # Where growing closes a bay, the pool that is left is filled.
    return Polygon(grown.exterior)


def _mark_depth(backing: BackingSection) -> float:
    """Return a depth for the up mark that leaves half of the rim, mm."""
    return min(1.2, backing.rim / 2) if backing.seat_depth > 0 else 1.0
