"""Pockets in plates and steps in level tops, straight into a mesh: nothing to unite or cut, so nothing to wait for."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from ..errors import SolidError
from ..plane.grid import GRID
from ..plane.overlays import common
from ..plane.regions import filled_parts
from .kernel import regions_from, settle
from .plan.chamfer import LEAST, strip
from .plan.filling import fill
from .plan.outlines import Outlines, follow_rings, on_grid, outline
from .prism import walls_between
from .solid import Solid
from .soundness import drop_unused

LEAST_RIM = 0.4
"""Rim that a chamfered mouth leaves on the plate at least, mm: one line of an ordinary nozzle."""

Pocket = tuple[Polygon | MultiPolygon, float]
"""Where a pocket is, and the height of its floor, mm."""

Lip = tuple[Polygon, float]
"""The outline of what stands out round the foot of a plate, and its height, mm."""


def sink_pockets(
    plate: Polygon, top: float, pockets: Sequence[Pocket], *, name: str, mouth: float = 0.0, lip: Lip | None = None
) -> Solid:
    """Return the plate from z = 0 to ``top``, mm, with pockets sunk into it, each into the floor of the one before.

    ``mouth``: chamfer of the first pocket's edge, mm each way, as far as depth and plate leave room for it. ``lip``:
    what stands out round the plate's foot. Every pocket has to lie wholly within the one before it (the first within
    ``plate``, and that within its lip), clear of its edge, and deeper. Raises :class:`SolidError` when one does not, or
    an outline is empty.
    """
    heights = [top, *(floor for _, floor in pockets), 0.0]
    if lip and not 0.0 < lip[1] < top:
        raise SolidError(f"{name}: its lip, {lip[1]:g} mm high, must end below its top at {top:g} mm")
    if any(lower >= upper for upper, lower in pairwise(heights)):
        raise SolidError(
            f"{name}: its pockets must be deeper one in another and leave a floor; they are at {heights} mm"
        )
    regions = [plate, *(region for region, _ in pockets)]
    if lip and not lip[0].contains_properly(plate):
        raise SolidError(f"{name}: its lip does not stand out all round; make it wider")
    if not all(outer.contains_properly(inner) for outer, inner in pairwise(regions)):
        raise SolidError(f"{name}: a pocket in it reaches over the edge of what it is sunk into; make it smaller")
    edges = [outline(plate, f"the outline of the {name}")]
    edges += [outline(region, f"a pocket in the {name}") for region in regions[1:]]
    # Each edge has two rows of points: the plate's at the top and on the bed, a pocket's at its brim and on its floor.
    starts = np.concatenate(([0], np.cumsum(np.repeat([len(edge.points) for edge in edges], 2))))
    rim, chamfer = _mouth(plate, heights, regions, mouth)
    rows = [(edges[0], top), (edges[0], lip[1] if lip else 0.0)]
    rows += [row for edge, (brim, floor) in zip(edges[1:], pairwise(heights[:-1]), strict=True)
             for row in ((edge, brim), (edge, floor))]  # fmt: skip
    if rim is not None:
        # The first pocket's brim lies lower, and the rim of its mouth, last of all, at the top.
        rows[2] = (edges[1], top - chamfer)
        rows.append((rim, top))
    foot = _foot(edges[0], int(starts[1]), lip, sum(len(edge.points) for edge, _ in rows), rows)
    points = [np.column_stack((edge.points, np.full(len(edge.points), height))) for edge, height in rows]
    faces = [*foot, walls_between(edges[0], lower=int(starts[1]), upper=int(starts[0]))]
    edge, edge_start = edges[0], int(starts[0])
    for pocket, brim, floor in zip(edges[1:], map(int, starts[2::2]), map(int, starts[3::2]), strict=False):
        if rim is not None and edge is edges[0]:
            faces.append(_between(fill(edge, rim), len(edge.points), edge_start, int(starts[-1])))
            faces.append(_between(strip(rim, pocket), len(rim.points), int(starts[-1]), brim))
        else:
            faces.append(_between(fill(edge, pocket), len(edge.points), edge_start, brim))
        # The solid is outside a pocket, so its walls face inwards.
        faces.append(walls_between(pocket, lower=floor, upper=brim)[:, ::-1])
        edge, edge_start = pocket, floor
    faces.append(fill(edge) + edge_start)
    return _checked(name, np.concatenate(points), np.concatenate(faces), "its pockets make")


def _foot(
    plate: Outlines, plate_start: int, lip: Lip | None, start: int, rows: list[tuple[Outlines, float]]
) -> list[NDArray[np.int64]]:
    """Return the faces under a plate, and those of its lip, for which rows of points are added from ``start`` on."""
    if lip is None:
        return [fill(plate)[:, ::-1] + plate_start]
    edge = outline(lip[0], "the lip of a plate")
    rows += [(edge, lip[1]), (edge, 0.0)]
    bed = start + len(edge.points)
    return [
        _between(fill(edge, plate), len(edge.points), start, plate_start),
        walls_between(edge, lower=bed, upper=start),
        fill(edge)[:, ::-1] + bed,
    ]


def _mouth(
    plate: Polygon, heights: Sequence[float], regions: Sequence[Polygon | MultiPolygon], wanted: float
) -> tuple[Outlines | None, float]:
    """Return the rim of the first pocket's mouth and its chamfer, mm, or no rim where there is no room for one."""
    if len(regions) < 2:
        return None, 0.0
    chamfer = min(wanted, 0.5 * (heights[0] - heights[1]))
    rim = shapely.buffer(regions[1], chamfer, join_style="mitre")
    if chamfer < LEAST or not isinstance(rim, Polygon) or not plate.buffer(-LEAST_RIM).contains_properly(rim):
        return None, 0.0
    return outline(Polygon(rim.exterior), "the mouth of a pocket"), chamfer


def _between(triangles: NDArray[np.int64], count: int, outer: int, inner: int) -> NDArray[np.int64]:
    """Renumber triangles between two outlines, the outer with ``count`` points, by where each starts."""
    return np.where(triangles < count, triangles + outer, triangles - count + inner)


def step_top(solid: Solid, region: MultiPolygon, level: float, *, name: str) -> Solid:
    """Return the solid with a region of its level top sunk, or raised, to the height ``level``, mm.

    What of the region is not on the top is left out. Raises :class:`SolidError` when nothing of it is, or when that
    makes no sound solid.
    """
    vertices, triangles, lid = _top_on_grid(solid)
    top = vertices[:, 2].max()
    rim_numbers, rim = _rim(vertices, triangles[lid], name)
    step = outline(_on_top(region, rim), f"the step in the top of the {name}")
    # The step's edge has two rows of points, at the top and at the new height, which follow those of the solid.
    brim = len(vertices)
    floor = brim + len(step.points)
    rows = [np.column_stack((step.points, np.full(len(step.points), height))) for height in (top, level)]
    ledge = np.concatenate((rim_numbers, np.arange(brim, floor)))[fill(rim, step)]
    # Run downwards from the top instead of upwards, walls face into the step, as those of a sunk one shall.
    walls = walls_between(step, lower=brim, upper=floor)
    faces = np.concatenate((triangles[~lid], ledge, walls, fill(step) + floor))
    points, faces = drop_unused(np.concatenate((vertices, *rows)), faces)
    return _checked(name, points, faces, "the step in its top makes")


def _top_on_grid(solid: Solid) -> tuple[NDArray[np.float64], NDArray[np.int32], NDArray[np.bool_]]:
    """Return a solid's vertices, those of its top on the grid, its triangles, and which of these lie level on top."""
    vertices = solid.vertices.copy()
    high = vertices[:, 2] == vertices[:, 2].max()
    vertices[high, :2] = on_grid(vertices[high, :2])
    settled = settle(solid.name, vertices, solid.triangles)
    high = settled.vertices[:, 2] == settled.vertices[:, 2].max()
    return settled.vertices, settled.triangles, high[settled.triangles].all(axis=1)


def _rim(vertices: NDArray[np.float64], lid: NDArray[np.int32], name: str) -> tuple[NDArray[np.int64], Outlines]:
    """Return the numbers of the vertices round triangles that lie level, in order, and the outlines they make."""
    starts, ends = lid.ravel().astype(np.int64), lid[:, (1, 2, 0)].ravel().astype(np.int64)
    single = ~np.isin(starts * len(vertices) + ends, ends * len(vertices) + starts)
    starts, ends = starts[single], ends[single]
    ahead = np.full(len(vertices), -1)
    ahead[starts] = ends
    order, sizes = follow_rings(ahead)
    if len(order) != len(starts):
        raise SolidError(f"{name}: its top touches itself in a point, so nothing can be stepped in it")
    return order, Outlines(vertices[order, :2], np.concatenate(([0], np.cumsum(sizes))))


def _on_top(region: MultiPolygon, rim: Outlines) -> MultiPolygon:
    room = regions_from(rim.rings()).buffer(-4 * GRID)
    shapely.prepare(room)
    return region if room.contains_properly(region) else filled_parts(common(region, room))


def _checked(name: str, vertices: NDArray[np.float64], triangles: NDArray[np.int64], what: str) -> Solid:
    solid = Solid(name, vertices.astype(np.float32).astype(np.float64), triangles.astype(np.int32))
    verdict = solid.soundness
    if not verdict.sound:
        raise SolidError(f"{name}: {what} no sound solid: {verdict.explain()}")
    return solid
