"""Regions: what of a geometry ink can fill, and whether it is its own mirror image."""

from __future__ import annotations

import re
from functools import partial
from typing import Literal, cast

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import GeometryType, affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry
from shapely.validation import explain_validity

FAULTS = {
    "Self-intersection": "it crosses or touches itself",
    "Ring Self-intersection": "it touches itself",
    "Too few points in geometry component": "it has too few corners",
    "Hole lies outside shell": "a hole lies outside",
    "Nested shells": "an area lies within another",
    "Interior is disconnected": "its inside falls apart",
}
"""What makes a shape no plain area, as GEOS names it, in words for people."""

_mend = partial(shapely.make_valid, method="structure", keep_collapsed=False)


def filled_parts(geometry: BaseGeometry) -> MultiPolygon:
    """Return the filled parts of any geometry; the lines, points and areas of no size that overlays leave are left out.

    >>> filled_parts(shapely.union(shapely.box(0, 0, 1, 1), shapely.Point(5, 5))).area
    1.0
    """
    # A collection may hold multipolygons.
    parts = shapely.get_parts(shapely.get_parts(geometry))
    filled = parts[(shapely.get_type_id(parts) == GeometryType.POLYGON) & (shapely.area(parts) > 0)]
    if len(filled) == len(parts) and isinstance(geometry, MultiPolygon):
        return geometry
    # A hundred times as fast as the class's own constructor, which looks at every part.
    return cast(MultiPolygon, shapely.multipolygons(filled))


def sound_parts(geometry: BaseGeometry) -> MultiPolygon:
    """Return the filled parts of any geometry as a valid region, though moving may have rounded its outlines across.

    Where outlines cross, what they enclose between them stays as they enclose it, and lines that fold onto themselves
    go.

    >>> bow = shapely.Polygon([(0, 0), (2, 2), (2, 0), (0, 2)])
    >>> sound_parts(bow).is_valid, sound_parts(bow).area
    (True, 2.0)
    """
    valid = made_valid(geometry)
    region = filled_parts(valid)
    if valid is geometry and valid.geom_type in ("Polygon", "MultiPolygon"):
        return region
    # Parts of a collection that are valid each may still overlap.
    return region if region.is_valid else filled_parts(made_valid(region))


def made_valid(geometry: BaseGeometry) -> BaseGeometry:
    """Return a geometry as it is if it is valid, else what its outlines enclose, without what has no width.

    >>> made_valid(shapely.Polygon([(0, 0), (2, 2), (2, 0), (0, 2)])).geom_type
    'MultiPolygon'
    """
    valid: BaseGeometry = geometry if geometry.is_valid else _mend(geometry)
    return valid


def all_valid(polygons: NDArray[np.object_]) -> NDArray[np.object_]:
    """Return polygons, (n,), with those that are not valid by themselves mended; these may come as several parts each.

    >>> bow, box = shapely.Polygon([(0, 0), (2, 2), (2, 0), (0, 2)]), shapely.box(0, 0, 1, 1)
    >>> [valid.geom_type for valid in all_valid(np.array([bow, box]))]
    ['MultiPolygon', 'Polygon']
    """
    broken = ~shapely.is_valid(polygons)
    if not broken.any():
        return polygons
    mended = polygons.copy()
    mended[broken] = _mend(polygons[broken])
    return mended


def thinned(region: BaseGeometry, tolerance: float) -> BaseGeometry:
    """Return a region with those points of its outlines left out that lie within ``tolerance`` of the rest.

    >>> shapely.get_num_coordinates(thinned(shapely.Polygon([(0, 0), (1, 1e-6), (2, 0), (2, 2)]), 1e-3)).item()
    4
    """
    # The way that looks out for outlines crossing takes ten times as long, and is seldom needed.
    plain: BaseGeometry = shapely.simplify(region, tolerance, preserve_topology=False)
    return plain if plain.is_valid else shapely.simplify(region, tolerance)


def is_mirrored(region: BaseGeometry, axis: Literal["x", "y"], *, tolerance: float = 0.02) -> bool:
    """Whether a region is its own mirror image, left for right ("x") or top for bottom ("y"), about the origin.

    ``tolerance``: share of its area that may lie on one side only.

    >>> is_mirrored(shapely.box(-2, 0, 2, 1), "x"), is_mirrored(shapely.box(-2, 0, 2, 1), "y")
    (True, False)
    """
    signs = (-1.0, 1.0) if axis == "x" else (1.0, -1.0)
    mirrored = affinity.scale(region, *signs, origin=(0.0, 0.0))
    return bool(region.symmetric_difference(mirrored).area <= tolerance * region.area)


def fault_of(shape: BaseGeometry) -> str:
    """Return in words what keeps a shape from being a plain area, with the place, or nothing when nothing does."""
    told = explain_validity(shape)
    if told == "Valid Geometry":
        return ""
    what, _, place = told.partition("[")
    at = re.findall(r"-?[\d.]+(?:e[-+]?\d+)?", place)
    where = f" at {float(at[0]):.4g}, {float(at[1]):.4g} mm" if len(at) >= 2 else ""
    return f"{FAULTS.get(what.strip(), what.strip().lower())}{where}"
