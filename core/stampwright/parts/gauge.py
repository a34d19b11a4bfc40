"""The corner gauge: a printed frame with two fences at a corner of the sheet, which holds every backing of a set.

The fences stand on the table, and the sheet's corner is pushed against them from within; the frame lies over the sheet
with a window of the keyed backing's outline and a clearance all round. Every die that is let down through the window
prints at the same place of the sheet, within the clearance. The backing's lip comes to rest on the frame a little after
the face has touched: a stamp whose face lies to one side of its base is held nearly level by it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely.geometry import Polygon, box

from ..job import Job
from ..job.heights import snap_heights
from ..plane.frames import paper_to_die
from ..plane.overlays import without
from ..solids import Solid, extrude, unite
from .backing import backing_outline, lip_height, seat_height
from .key import with_key

WALL = 8.0
"""Width of the frame round the window and of the fences, mm: stiff enough to be held down by two fingers."""

UNDER = 0.6
"""Height of the slit between table and frame that the sheet slides into, mm: card of up to 0.4 mm."""

SHEET = 0.1
"""Thickness of the sheet that is printed, mm: ordinary paper."""

LEAST_REST = 0.08
"""How far the lip stays over the frame at least when the face touches, mm: a dressed face comes forward by about as
much under a hand's push."""


@dataclass(frozen=True, eq=False)
class Gauge:
    """A corner gauge.

    ``solid``: as it is printed, its upper side on the bed, fences up. ``window`` and ``backing``: outlines, paper
    frame, mm. ``corner``: of the sheet, upper left, in the paper frame, mm. ``height``: over the table, mm.
    """

    solid: Solid
    window: Polygon
    backing: Polygon
    corner: tuple[float, float]
    height: float


def keyed_outline(base: Polygon, job: Job) -> Polygon:
    """Return the outline of a set's backing, paper frame, mm, with its key where it has one."""
    outline = backing_outline(base, job.backing)
    return with_key(outline) if job.backing.key and job.backing.form == "plate" else outline


def build_gauge(base: Polygon, job: Job) -> Gauge:
    """Return the gauge for the backing that a job makes for a base, paper frame, mm.

    Raises :class:`~stampwright.errors.SolidError` when its outline makes no sound solid.
    """
    backing, register = keyed_outline(base, job), job.register
    window = Polygon(backing.buffer(register.clearance, join_style="mitre", mitre_limit=2.0).exterior)
    left, bottom, right, top = window.bounds
    base_left, _, _, base_top = base.bounds
    corner = (min(base_left - register.inset, left - 1.0), max(base_top + register.inset, top + 1.0))
    outer = box(corner[0] - WALL, bottom - WALL, right + WALL, corner[1] + WALL)
    sheet = box(corner[0], bottom - 2 * WALL, right + 2 * WALL, corner[1])
    height = gauge_height(job)
    frame, fences = without(outer, window), without(outer, sheet)
    # Seen from above it lies as the print does; on the bed it lies on its face, so it is reversed as a die is.
    solid = unite(
        (
            extrude(paper_to_die(frame), 0.0, height - UNDER, name="gauge"),
            extrude(paper_to_die(fences), 0.0, height, name="gauge"),
        ),
        name="gauge",
    )
    return Gauge(solid, window, backing, corner, height)


def gauge_height(job: Job) -> float:
    """Return how high a gauge stands over the table, mm, in whole layers: just under the lip, when the die touches."""
    layer = job.printer.hard.layer
    return max(math.floor((_lip_over_table(job) - LEAST_REST) / layer + 1e-6) * layer, UNDER + 4 * layer)


def rest_of(job: Job) -> float:
    """Return how far a stamp's dressed face comes past its first touch until the lip rests on the gauge, mm.

    Infinite for a stamp that goes into no gauge.
    """
    if not (job.register.gauge and job.backing.key and job.backing.form == "plate"):
        return math.inf
    rest = _lip_over_table(job) - gauge_height(job)
    return rest if rest > 0.0 else math.inf


def _lip_over_table(job: Job) -> float:
    """Return how high the underside of the lip is over the table, mm, when the dressed face touches the sheet."""
    heights, layer = snap_heights(job), job.printer.hard.layer
    lies_on = seat_height(job.backing, layer)
    return SHEET + heights.floor + heights.relief + job.cushion.thickness + lies_on - lip_height(layer)
