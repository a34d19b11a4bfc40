"""Plates with pockets sunk into them, straight into a mesh: nothing to unite or cut, so nothing to wait for."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from shapely.geometry import MultiPolygon, Polygon

from ..errors import SolidError
from .plan.filling import fill
from .plan.outlines import outline
from .prism import walls_between
from .soundness import check_soundness
from .types import Solid

Pocket = tuple[Polygon | MultiPolygon, float]
"""Where a pocket is, and the height of its floor, mm."""


def sink_pockets(plate: Polygon, top: float, pockets: Sequence[Pocket], *, name: str) -> Solid:
    """Return the plate from z = 0 to ``top``, mm, with pockets sunk into it, each into the floor of the one before.

    Every pocket has to lie wholly within the one before it (the first within ``plate``), clear of its edge, and deeper.
    Raises :class:`SolidError` when one does not, or an outline is empty.
    """
    heights = [top, *(floor for _, floor in pockets), 0.0]
    if any(lower >= upper for upper, lower in pairwise(heights)):
        raise SolidError(
            f"{name}: its pockets must be deeper one in another and leave a floor; they are at {heights} mm"
        )
    regions = [plate, *(region for region, _ in pockets)]
    if not all(outer.contains_properly(inner) for outer, inner in pairwise(regions)):
        raise SolidError(f"{name}: a pocket in it reaches over the edge of what it is sunk into; make it smaller")
    edges = [outline(plate, f"the outline of the {name}")]
    edges += [outline(region, f"a pocket in the {name}") for region in regions[1:]]
    # Each edge has two rows of points: the plate's at the top and on the bed, a pocket's at its brim and on its floor.
    starts = np.concatenate(([0], np.cumsum(np.repeat([len(edge.points) for edge in edges], 2))))
    rows = [(edges[0], top), (edges[0], 0.0)]
    rows += [row for edge, (brim, floor) in zip(edges[1:], pairwise(heights[:-1]), strict=True)
             for row in ((edge, brim), (edge, floor))]  # fmt: skip
    points = [np.column_stack((edge.points, np.full(len(edge.points), height))) for edge, height in rows]
    faces = [
        fill(edges[0])[:, ::-1] + starts[1],
        walls_between(edges[0], lower=int(starts[1]), upper=int(starts[0])),
    ]
    edge, edge_start = edges[0], int(starts[0])
    for pocket, brim, floor in zip(edges[1:], map(int, starts[2::2]), map(int, starts[3::2]), strict=False):
        ledge = fill(edge, pocket)
        faces.append(np.where(ledge < len(edge.points), ledge + edge_start, ledge - len(edge.points) + brim))
        # The solid is outside a pocket, so its walls face inwards.
        faces.append(walls_between(pocket, lower=floor, upper=brim)[:, ::-1])
        edge, edge_start = pocket, floor
    faces.append(fill(edge) + edge_start)
    vertices = np.concatenate(points).astype(np.float32).astype(np.float64)
    solid = Solid(name, vertices, np.concatenate(faces).astype(np.int32))
    verdict = check_soundness(solid.vertices, solid.triangles)
    if not verdict.sound:
        raise SolidError(f"{name}: its pockets make no sound solid: {verdict.explain()}")
    return solid
