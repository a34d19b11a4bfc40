"""The sizes of a handle: the figures of the job, fitted to the foot that the base needs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...findings import Finding
from ...job.sections.parts import BackingSection, HandleSection
from ...plane.grid import GRID

WIDEST_NECK = 0.9
"""Neck as a share of the foot above its rim at most: wider, and the neck would stand over the foot's edge."""

NECK_TO_GRIP = 0.9
"""Neck as a share of the grip at most: a neck as wide as the grip is no neck."""

LIP = 2.5
"""Width of the foot's rim, seen from above, mm; narrower on feet under 42 mm."""

GROOVE_RISE = 0.8
"""Depth of the foot's glue groove over its width: its flanks lean 32 degrees, under 45 even where they meet in a square
corner, so it prints without support."""

RIM_LIPS = 1.8
"""Width of the whole moulding of the rim, seen from above, in lips: the rim, a bead and two ledges."""


@dataclass(frozen=True, kw_only=True)
class Sizes:
    """Half widths (along, across), mm, of foot, neck and grip; whole height, edge rounding and rim, mm."""

    foot: tuple[float, float]
    neck: tuple[float, float]
    grip: tuple[float, float]
    height: float
    edge: float
    lip: float
    groove: float = 0.0

    @property
    def swell(self) -> float:
        """How far the grip stands out over the neck, mm, where it does so most."""
        return max(grip - neck for grip, neck in zip(self.grip, self.neck, strict=True))


def rim_height(height: float) -> float:
    """Return the height of the foot's rim on a handle of ``height`` mm."""
    return min(4.5, 0.09 * height)


def fit_sizes(
    wanted: HandleSection,
    backing: BackingSection,
    half: tuple[float, float],
    height: float,
    *,
    hold: float = 1.0,
) -> tuple[Sizes, tuple[Finding, ...]]:
    """Fit a handle's figures to a foot of half widths ``half``, mm, in either order.

    ``hold``: share of the half widths within which a neck stands wholly on the foot (1 for anything convex and full).
    Returns the sizes, and a finding for each figure that the foot or another figure left no room for.
    """
    foot = (max(half), min(half))
    lip = min(LIP, 0.12 * foot[1])
    grip = wanted.grip_width / 2
    neck = min(wanted.neck_width / 2, WIDEST_NECK * (foot[1] * hold - RIM_LIPS * lip), NECK_TO_GRIP * grip)
    edge_room = 0.5 * grip
    # A long base gets a long grip, but not as long as itself: the hand stays the same size.
    stretch = math.sqrt(foot[0] / foot[1])
    grips = (grip * stretch, grip)
    if wanted.form == "block":
        bar = min(grip, foot[1])
        grips = (foot[0] - foot[1] + bar, bar)
        edge_room = 0.7 * bar
    edge = min(wanted.edge_radius, edge_room, height / 3)
    # What rounds to nothing on the grid would leave a side of no length.
    edge = edge if edge >= GRID else 0.0
    # As far behind the grip lengthways as across, where the foot has room: then the flanks lean alike all round.
    long_neck = min(grips[0] - grip + neck, WIDEST_NECK * (foot[0] * hold - RIM_LIPS * lip))
    found = []
    if wanted.form != "block" and neck < wanted.neck_width / 2 - 0.01:
        found.append(fitted("neck width", "handle.neck_width", wanted.neck_width, 2 * neck))
    if edge < wanted.edge_radius - 0.01:
        found.append(fitted("edge radius", "handle.edge_radius", wanted.edge_radius, edge))
    sizes = Sizes(
        foot=foot,
        neck=(long_neck, neck),
        grip=grips,
        height=height,
        edge=edge,
        lip=lip,
        groove=_groove(wanted, backing, foot[1], height) if hold > 0.9 else 0.0,
    )
    return sizes, tuple(found)


def fitted(what: str, path: str, wanted: float, made: float) -> Finding:
    """Return the finding that a figure of the handle could not be made as wanted, mm."""
    return Finding(
        kind="handle fitted",
        severity="notes",
        stage="build",
        message=f"the handle's {what} was made {made:.1f} mm: there is no room for {wanted:g} mm",
        remedy=f"Set {path} to {made:.1f} mm, or change what stands in its way",
        measured=round(made, 2),
        limit=wanted,
    )


def _groove(handle: HandleSection, backing: BackingSection, narrowest: float, height: float) -> float:
    """Return the width of the glue groove under the foot, 0 where there is no room or nothing to glue."""
    width = backing.groove_width
    wanted = backing.grooves and not handle.hollow
    roomy = narrowest > 4 * width + 4 and rim_height(height) > GROOVE_RISE * width + 0.8
    return width if wanted and roomy else 0.0
