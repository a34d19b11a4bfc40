"""A roller's fork: two arms that hold the axle, a bar over the roller, and a grip."""

from __future__ import annotations

import numpy as np
from shapely.geometry import Polygon, box

from ...curved import Bend
from ...errors import SolidError
from ...job.heights import whole_layers
from ...job.sections.bending import BendSection
from ...job.sections.parts import HandleSection
from ...plane.overlays import all_joined, without
from ...solids import Solid, cut, extrude, revolve

BESIDE = 0.8
"""Room between the roller's ends and the arms, mm (common practice)."""

OVER = 3.0
"""Room between the roller and the bar over it, mm: ink and fingers keep clear."""

ARM, BAR, AROUND = 6.0, 9.0, 5.0
"""Thickness of the arms, height of the bar, and what an arm has round the axle, mm (assumed; printed PLA)."""

LEAST_DEPTH = 16.0
"""Thickness of the whole fork, mm, as it lies on the bed: what a hand still holds without an edge that cuts."""

FIT = 0.05
"""Gap round the axle in the arms, per side, mm: it is held there, and turns in the drum."""


def arm_end(section: BendSection) -> float:
    """Return how far an arm reaches beyond the middle of the axle, mm."""
    return section.axle / 2.0 + AROUND


def build_fork(bend: Bend, section: BendSection, handle: HandleSection, *, layer: float) -> Solid | None:
    """Return the fork, its arms down, standing on z = 0 with the axle's middle over the origin; None for no handle.

    ``layer``: of the print, mm. The grip is ``handle.height`` high over the bar and ``handle.grip_width`` across.
    Raises :class:`~stampwright.errors.SolidError` when the roller is too thin for its arms to clear the paper.
    """
    if handle.form == "none":
        return None
    end = arm_end(section)
    if end >= bend.radius - 1.0:
        raise SolidError(
            f"handle: the fork's arms reach {end:g} mm below the axle's middle, but the face only {bend.radius:.1f} "
            "mm: they would touch the paper; make bend.repeat or bend.radius larger, or bend.axle thinner"
        )
    outline = _outline(bend, section, handle, end)
    depth = whole_layers(max(LEAST_DEPTH, 2.0 * end), layer)
    # Drawn along the axis and up, raised across.
    body = extrude(outline, -depth / 2.0, depth / 2.0, name="handle")
    bored = cut(body, [_bore(section, outline.bounds[2] + 1.0)], name="handle")
    along, up, across = bored.vertices.T
    places = np.column_stack((across, along, up + end))
    places[:, 2] = np.maximum(places[:, 2] - places[:, 2].min(), 0.0)
    placed = bend.turned_back(places).astype(np.float32).astype(np.float64)
    return Solid("handle", placed, bored.triangles)


def _outline(bend: Bend, section: BendSection, handle: HandleSection, end: float) -> Polygon:
    inside = section.band / 2.0 + BESIDE
    outside, under = inside + ARM, bend.outer + OVER
    over, half = under + BAR, min(handle.grip_width / 2.0, outside)
    frame = without(box(-outside, 0.0, outside, over), box(-inside, -1.0, inside, under))
    tips = [box(side - ARM / 2.0, -end, side + ARM / 2.0, 1.0) for side in (-(inside + ARM / 2.0), inside + ARM / 2.0)]
    grip = box(-half, over - 1.0, half, over + handle.height)
    whole = all_joined([frame, *tips, grip])
    # Corners that are held are rounded, and those that would tear are filled.
    rounded = whole.buffer(-2.5, quad_segs=12).buffer(5.0, quad_segs=12).buffer(-2.5, quad_segs=12)
    if not isinstance(rounded, Polygon) or rounded.is_empty:
        raise SolidError("handle: the fork's outline falls apart; make bend.band or handle.grip_width larger")
    return Polygon(rounded.exterior).simplify(0.002)


def _bore(section: BendSection, reach: float) -> Solid:
    """Return the axle's way through both arms, along x."""
    radius = section.axle / 2.0 + FIT
    rod = revolve([(0.0, -reach), (radius, -reach), (radius, reach), (0.0, reach)], name="bore")
    x, y, z = rod.vertices.T
    return Solid("bore", np.column_stack((z, x, y)), rod.triangles)
