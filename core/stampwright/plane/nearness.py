"""Nearness of regions that lie apart, told by pieces of their outlines: a large region is not gone through for each."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from .chains import LONGEST, Chains, Wholes

Regions = NDArray[np.object_]


def chained_outlines(regions: Regions) -> tuple[Chains, Wholes]:
    """Return the outlines of polygons or of several together, (n,), as chains, and whose each chain is, (c,)."""
    parts, region = shapely.get_parts(regions, return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    points, ring = shapely.get_coordinates(rings, return_index=True)
    within = np.flatnonzero(ring[1:] == ring[:-1])
    # Rings may begin where the one before them ended, and are chains of their own all the same.
    of_ring = ring[within]
    place = np.arange(len(within)) - np.searchsorted(of_ring, of_ring)
    firsts = np.append(np.flatnonzero(place % LONGEST == 0), len(within))
    return Chains(points[within], points[within + 1], firsts), region[part[of_ring[firsts[:-1]]]]


def near_pairs(ones: Regions, others: Regions, distance: float) -> tuple[Wholes, Wholes]:
    """Return pairs of numbers: of ``ones`` and of ``others`` whose outlines come within ``distance`` mm, each once.

    Regions that lie one within another are no pair unless their outlines come so near.

    >>> boxes = np.array([shapely.box(0, 0, 1, 1), shapely.box(1.1, 0, 2, 1), shapely.box(5, 0, 6, 1)])
    >>> [pair.tolist() for pair in near_pairs(boxes[:1], boxes, 0.2)]
    [[0, 0], [0, 1]]
    """
    chains, owner = chained_outlines(others)
    asking, asker = chained_outlines(ones)
    one, other = chains.tree.query(asking.tree.geometries, predicate="dwithin", distance=distance)
    pairs = np.unique(asker[one] * len(others) + owner[other])
    return np.asarray(pairs // max(len(others), 1)), np.asarray(pairs % max(len(others), 1))
