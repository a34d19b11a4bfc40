"""Centring: which point of the artwork comes to the middle of the base."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon, Polygon

from ..artwork.artwork import Artwork
from ..job.sections.placing import LayoutSection
from ..plane.moments import Moments, moments_of

Affine = tuple[float, float, float, float, float, float]
"""The way from the drawing to the paper, in the order that shapely takes: a, b, d, e, then the shift, mm."""

LIGHTEST = 0.5
"""Ink is level enough when its lightest side still takes this share of the mean pressure, pushed in the middle of the
base (assumed: half of what presses evenly still inks)."""


def turned_about_middle(artwork: Artwork, layout: LayoutSection, turn: float, *, round_base: bool) -> Affine:
    """Return the matrix that mirrors and turns artwork and brings its middle to the origin, at the page's own size.

    ``turn``: degrees, counter-clockwise. ``round_base``: whether what is level in the middle starts from the smallest
    circle round the artwork, as suits a round base, or from the middle of its bounds.
    """
    cosine, sine = cosine_and_sine(turn)
    flip = -1.0 if layout.mirror else 1.0
    linear = (flip * cosine, -sine, flip * sine, cosine)
    ink = artwork.inked
    hull = affinity.affine_transform(ink.convex_hull, (*linear, 0.0, 0.0))
    centre = layout.centre
    if centre == "level":
        centre = "circle" if round_base else "bounds"
    match centre:
        case "bounds":
            left, bottom, right, top = hull.bounds
            x, y = (left + right) / 2, (bottom + top) / 2
        case "area":
            x, y = affinity.affine_transform(ink.centroid, (*linear, 0.0, 0.0)).coords[0]
        case "page":
            width, height = artwork.page_size
            x, y = affinity.affine_transform(shapely.Point(width / 2, height / 2), (*linear, 0.0, 0.0)).coords[0]
        case _:
            x, y = shapely.minimum_bounding_circle(hull).centroid.coords[0]
    return (*linear, -x, -y)


def levelling_shift(centred: MultiPolygon) -> NDArray[np.float64]:
    """Return by how much ink has to move, (2,) in its own units, so that it lies level when pushed at the origin.

    The pressure of a rigid face on even springs falls off as a plane: pushed off its centre of area by e, a place that
    lies c off that centre has 1 + c · S⁻¹e of the mean, S being the mean products of such offsets (the core or kern of
    a section, any text on the strength of materials). The shift is the least that keeps :data:`LIGHTEST` of it
    everywhere.
    """
    return level_shift(moments_of(centred), shapely.get_coordinates(centred.convex_hull))


def level_shift(moments: Moments, hull: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what :func:`levelling_shift` does, from the ink's moments and the corners of its hull, (n, 2)."""
    kern = _kern_of(moments, hull, 1.0 - LIGHTEST)
    push = shapely.Point(-moments.centre)
    if kern.covers(push):
        return np.zeros(2)
    nearest = shapely.get_coordinates(shapely.shortest_line(kern, push))[0]
    return np.asarray(-moments.centre - nearest)


def _kern_of(moments: Moments, hull: NDArray[np.float64], loss: float) -> Polygon:
    """Return where a push may pass the centre of area, mm from there, so that no place loses more than that share.

    It is bounded by a line for each corner of the hull, c · S⁻¹e = -loss; where two neighbouring lines meet is a
    corner of it (polar duality).
    """
    lines = shapely.convex_hull(shapely.multipoints(np.linalg.solve(moments.spread, (hull - moments.centre).T).T))
    corners = shapely.get_coordinates(lines)
    pairs = np.stack([corners[:-1], corners[1:]], axis=1)
    return Polygon(np.linalg.solve(pairs, np.full((len(pairs), 2, 1), -loss))[:, :, 0])


def cosine_and_sine(degrees: float) -> tuple[float, float]:
    """Return cosine and sine of an angle; quarter turns are exact, so that upright artwork stays upright."""
    quarters, rest = divmod(degrees, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    return math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
