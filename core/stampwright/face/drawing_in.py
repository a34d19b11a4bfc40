"""Artwork drawn in by what ink will creep outwards, so that the print has the drawn width, without losing lines."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ..plane.overlays import all_joined, common, without
from ..plane.regions import filled_parts

_STEPS = 4
_MITRE = 5.0
_HAIR = 0.005


def draw_in(inked: MultiPolygon, spread: float, *, least_width: float) -> MultiPolygon:
    """Return ``inked`` drawn in by ``spread`` mm along every edge, but no narrower than ``least_width`` mm.

    Ink too narrow for the whole of it is drawn in by three quarters, a half or a quarter, whichever still leaves
    ``least_width``; ink narrower than that stays as it is, so no line is lost or broken.
    """
    if spread <= 0:
        return inked
    amounts = np.linspace(spread, 0.0, _STEPS + 1)
    parts = [_shrunk(inked, spread)]
    for larger, smaller in pairwise(amounts):
        thin = without(inked, _opened(inked, larger + least_width / 2))
        # Reaching over the joint into ink of full width keeps narrow lines joined to it.
        joint = shapely.buffer(shapely.buffer(thin, -_HAIR), 1.5 * spread + _HAIR, quad_segs=4)
        parts.append(common(_shrunk(inked, smaller), joint))
    return filled_parts(all_joined(parts))


def _shrunk(region: BaseGeometry, amount: float) -> BaseGeometry:
    return shapely.buffer(region, -amount, join_style="mitre", mitre_limit=_MITRE) if amount else region


def _opened(region: BaseGeometry, radius: float) -> BaseGeometry:
    """Return those parts of the region that are wider than twice the radius, with their corners."""
    shrunk = shapely.buffer(region, -radius, join_style="mitre", mitre_limit=_MITRE)
    return shapely.buffer(shrunk, radius, join_style="mitre", mitre_limit=_MITRE)
