"""A handle judged: does it print without support, does it fit the hand, does its foot cover the backing?"""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry import Polygon

from ...findings import Finding
from ...job.sections.parts import HandleSection
from ...plane.overlays import without
from ...solids import Solid
from ...solids.columns import lengths_of, normals_of
from .bodies import Body

OVERHANG_LIMIT = 45.0
"""Steepest lean from the vertical that prints unsupported, degrees (printing services' design guides agree on it)."""

OVERHANG_SLACK = 0.5
"""Lean beyond the limit that a facet may have where the curve it stands for has none, degrees."""

SMALL_OVERHANG = 20.0
"""Area, mm², under which an overhang is only noted: a few bridged lines sag where no one sees it."""

POWER_GRIP = (32.0, 51.0)
"""Diameters that a closed hand holds firmly, mm: 1.25 to 2 in, about 38 mm best (Ohio Bureau of Workers' Compensation,
in the Portage County Safety Council's guide to hand tools)."""

BAR_GRIP = (25.0, 75.0)
"""Width between thumb and fingertips that close round a knob or bar, mm (MIL-STD-1472, figure 7, from memory)."""

PALM_SPAN = 127.0
"""Length of a handle that spans the palm, mm: 5 in; the end of a shorter one presses the mid-palm (same source)."""

TIPS_AT = 1.25
"""Times the width of its foot that a handle may be wide before it warns: what is wider is easily pushed at its edge,
outside the foot, and tips (by statics; the margin is assumed)."""

PALM_KNOB_HEIGHT = 15.0
"""Least height of a knob for the palm, mm (MIL-STD-1472, figure 7, from memory)."""


def judge(handle: HandleSection, body: Body, solid: Solid, backing: Polygon) -> tuple[Finding, ...]:
    """Return what was found about a finished handle; its foot has to cover ``backing``, mm, paper frame."""
    return _overhang(solid) + _grip(handle, body) + _tips(body, backing) + _cover(body, backing)


def overhangs(solid: Solid, *, limit: float = OVERHANG_LIMIT) -> tuple[float, float, Polygon]:
    """Measure the faces of a standing solid that look down and lean out by more than ``limit`` degrees.

    Returns their area, mm², the greatest lean from the vertical, degrees, and the region over which they hang, in the
    solid's own x, y, mm. Faces on the bed do not count. Without overhangs: 0, 0 and an empty region.
    """
    normals = normals_of(solid.vertices, solid.triangles)
    lengths = lengths_of(normals)
    # Against the steepest direction down: a face that leans by a degrees from the vertical has a normal of -sin a in z.
    drop = -normals[2] / np.maximum(lengths, 1e-30)
    off_bed = (solid.vertices[:, 2] > solid.vertices[:, 2].min() + 1e-4)[solid.triangles]
    raised = (lengths > 1e-6) & (off_bed[:, 0] | off_bed[:, 1] | off_bed[:, 2])
    hanging = raised & (drop > math.sin(math.radians(limit + OVERHANG_SLACK)))
    if not hanging.any():
        return 0.0, 0.0, Polygon()
    steepest = math.degrees(math.asin(min(1.0, float(drop[hanging].max()))))
    region = shapely.multipoints(solid.vertices[np.unique(solid.triangles[hanging]), :2]).convex_hull
    return float(lengths[hanging].sum() / 2), steepest, region


def _overhang(solid: Solid) -> tuple[Finding, ...]:
    area, steepest, region = overhangs(solid)
    if area < 0.05:
        return ()
    return (
        Finding(
            kind="overhang",
            severity="notes" if area < SMALL_OVERHANG else "warns",
            stage="build",
            message=(
                f"{area:.1f} mm² of the handle overhang by up to {steepest:.0f} degrees from the vertical as it stands "
                f"on the bed; over {OVERHANG_LIMIT:g} degrees need support"
            ),
            remedy="Make the handle higher, or its grip and neck more alike in width; or print it with support",
            place=region,
            measured=round(steepest, 1),
            limit=OVERHANG_LIMIT,
            unit="deg",
        ),
    )


def _grip(handle: HandleSection, body: Body) -> tuple[Finding, ...]:
    found = []
    least, most = BAR_GRIP if handle.form in ("block", "straight") else POWER_GRIP
    if not least <= body.held <= most:
        small = body.held < least
        found.append(
            Finding(
                kind="grip width",
                severity="warns",
                stage="build",
                message=(
                    f"the grip is {body.held:.1f} mm across; a hand holds {least:g} to {most:g} mm firmly, "
                    + ("a thinner one turns in it" if small else "a thicker one tires it")
                ),
                remedy=f"Make the grip {least if small else most:g} mm across or {'more' if small else 'less'}",
                measured=round(body.held, 2),
                limit=least if small else most,
            )
        )
    if body.height < PALM_KNOB_HEIGHT:
        found.append(
            Finding(
                kind="low handle",
                severity="warns",
                stage="build",
                message=(
                    f"the handle is {body.height:.1f} mm high; a palm wants {PALM_KNOB_HEIGHT:g} mm or more to close on"
                ),
                remedy=f"Set handle.height to {PALM_KNOB_HEIGHT:g} mm or more",
                measured=round(body.height, 2),
                limit=PALM_KNOB_HEIGHT,
            )
        )
    if handle.form == "grip" and body.height < PALM_SPAN:
        found.append(
            Finding(
                kind="short grip",
                severity="notes",
                stage="build",
                message=(
                    f"a grip of {body.height:.0f} mm ends in the palm, where one of {PALM_SPAN:g} mm would span it; "
                    "its broad head takes the push"
                ),
                remedy="Press with the palm on the head rather than with a closed fist",
                measured=round(body.height, 2),
                limit=PALM_SPAN,
            )
        )
    return tuple(found)


def _tips(body: Body, backing: Polygon) -> tuple[Finding, ...]:
    """Say by how far a push at the edge of what is held passes outside what it stands on."""
    left, bottom, right, top = backing.bounds
    foot = min(right - left, top - bottom)
    outside = (body.held - foot) / 2
    if outside <= 0.05:
        return ()
    return (
        Finding(
            kind="stamp tips",
            severity="warns" if body.held > TIPS_AT * foot else "notes",
            stage="build",
            message=(
                f"the handle is {body.held:.1f} mm across over a foot of {foot:.1f} mm: a push at its edge passes "
                f"{outside:.1f} mm outside the foot and tips the stamp"
            ),
            remedy=f"Make the handle {foot:.0f} mm across or less, or the base larger; push in the middle",
            measured=round(body.held, 2),
            limit=round(foot, 2),
        ),
    )


def _cover(body: Body, backing: Polygon) -> tuple[Finding, ...]:
    bare = without(backing, body.foot.buffer(0.05))
    share = bare.area / backing.area
    if share < 0.02:
        return ()
    short = backing.exterior.hausdorff_distance(body.foot.exterior) if not body.foot.is_empty else 0.0
    return (
        Finding(
            kind="foot short of backing",
            severity="warns" if share > 0.25 else "notes",
            stage="build",
            message=(
                f"the handle's foot leaves {100 * share:.0f} % of the backing uncovered, by up to {short:.1f} mm; a "
                "push there bends the plate"
            ),
            remedy="Draw the foot as wide as the backing, or make backing.thickness more",
            place=bare if bare.geom_type in ("Polygon", "MultiPolygon") else None,
            measured=round(short, 2),
            limit=0.0,
        ),
    )
