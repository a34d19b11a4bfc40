"""Centring: which point of the artwork comes to the middle of the base."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon

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

    A rigid face on even springs takes pressure that falls linearly away from the push: at an offset e of the centre of
    area, the far side of ink, c beyond that centre, has 1 - e c / r² of the mean, r being the radius of gyration that
    way (the kern of a section, any text on the strength of materials). The shift is the least that keeps
    :data:`LIGHTEST` of it.
    """
    return level_shift(moments_of(centred), shapely.get_coordinates(centred.convex_hull))


def level_shift(moments: Moments, hull: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return what :func:`levelling_shift` does, from the ink's moments and the corners of its hull, (n, 2)."""
    offset = float(np.hypot(*moments.centre))
    if offset <= 1e-12:
        return np.zeros(2)
    way = moments.centre / offset
    beyond = float((hull @ way).max()) - offset
    gyration = float(way @ moments.spread @ way)
    allowed = (1.0 - LIGHTEST) * gyration / max(beyond, 1e-12)
    return np.asarray(-max(offset - allowed, 0.0) * way)


def cosine_and_sine(degrees: float) -> tuple[float, float]:
    """Return cosine and sine of an angle; quarter turns are exact, so that upright artwork stays upright."""
    quarters, rest = divmod(degrees, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarters) % 4]
    return math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
