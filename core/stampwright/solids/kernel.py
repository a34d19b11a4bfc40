"""The solid kernel: the one file that knows the library which unites, cuts and slices solids."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import manifold3d
import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..errors import SolidError
from ..plane.filling import fill_rings
from ..plane.grid import GRID
from ..plane.rings import bounded_by
from .solid import Solid
from .soundness import judge_merged, merge_equal

_SETTLING = (0.0, 2.0**-12, 2.0**-9)
"""How far vertices may move, mm, to get rid of features that 32-bit floats cannot hold; tried in this order."""


def unite(solids: Iterable[Solid], *, name: str) -> Solid:
    """Return the union of solids; raises :class:`SolidError` when there is none or the union is unsound."""
    return _solid(_combined(solids, manifold3d.OpType.Add), name)


def cut(solid: Solid, tools: Iterable[Solid], *, name: str | None = None) -> Solid:
    """Return ``solid`` without what lies in ``tools``; raises :class:`SolidError` when nothing sound is left."""
    return _solid(_combined([solid, *tools], manifold3d.OpType.Subtract), name or solid.name)


def halved(solid: Solid, height: float) -> tuple[Solid, Solid]:
    """Return what of a solid lies below a height, mm, and what above it; raises :class:`SolidError` as :func:`cut`."""
    above, below = _manifold(solid).split_by_plane((0.0, 0.0, 1.0), height)
    return _solid(below, solid.name), _solid(above, solid.name)


def section(solid: Solid, height: float) -> MultiPolygon:
    """Return the solid's section at ``height``, mm, as regions in its own x, y; empty where there is none.

    Raises :class:`SolidError` when the solid is not closed.
    """
    rings = _manifold(solid).slice(height).to_polygons()
    return regions_from(rings)


def shadow(solid: Solid) -> MultiPolygon:
    """Return what of the bed a solid stands over, in its own x, y, mm, as light from above would have it.

    Raises :class:`SolidError` when the solid is not closed.
    """
    return regions_from(_manifold(solid).project().to_polygons())


def refine(solid: Solid, length: float) -> Solid:
    """Return the same solid in more triangles, none with an edge much longer than ``length``, mm.

    Raises :class:`SolidError` when the solid is not closed, or nothing sound comes of it.
    """
    return settle(solid.name, *_vertices_and_triangles(_manifold(solid).refine_to_length(length)))


def settled(solid: Solid) -> Solid:
    """Return a closed solid made sound as a file holds it, points moved by a few thousandths of a millimetre at most.

    Raises :class:`SolidError` when it is not closed, or nothing sound comes of it.
    """
    return _solid(_manifold(solid), solid.name)


def triangulate(rings: Sequence[NDArray[np.float64]]) -> NDArray[np.int32]:
    """Fill rings with triangles.

    ``rings``: (k, 2) float arrays, mm, without a repeated last point; outer ones counter-clockwise, holes clockwise.
    Returns (m, 3) indices into the rings' points in order, each triangle counter-clockwise; every ring edge is in
    exactly one of them.
    """
    if not rings:
        return np.empty((0, 3), dtype=np.int32)
    triangles = manifold3d.triangulate([np.ascontiguousarray(ring, dtype=np.float64) for ring in rings], 0.0)
    return np.ascontiguousarray(triangles, dtype=np.int32)


def regions_from(rings: Sequence[NDArray[np.float64]]) -> MultiPolygon:
    """Return oriented rings, outer ones counter-clockwise and holes clockwise, as regions.

    Raises :class:`SolidError` when they cross so that they bound none.
    """
    region = bounded_by(rings)
    if region is None:
        region = fill_rings(rings, "positive")
    if region is None:
        raise SolidError("outlines cross each other, so that they bound no region")
    return region


def _combined(solids: Iterable[Solid], operation: Any) -> Any:
    parts = [_manifold(solid) for solid in solids]
    if not parts:
        raise SolidError("no solids were given to combine")
    return manifold3d.Manifold.batch_boolean(parts, operation)


def _manifold(solid: Solid) -> Any:
    mesh = manifold3d.Mesh64(
        vert_properties=np.ascontiguousarray(solid.vertices, dtype=np.float64),
        tri_verts=np.ascontiguousarray(solid.triangles, dtype=np.uint64),
    )
    taken = manifold3d.Manifold(mesh)
    if taken.status() != manifold3d.Error.NoError:
        raise SolidError(
            f"{solid.name}: the kernel does not take this mesh ({taken.status().name}); close its open edges"
        )
    return taken


def _solid(result: Any, name: str) -> Solid:
    """Return the kernel's result as a solid whose vertices are exact in 32-bit floats, so that files keep it sound."""
    if result.status() != manifold3d.Error.NoError:
        raise SolidError(f"{name}: the kernel failed to combine the solids ({result.status().name})")
    if result.is_empty():
        raise SolidError(f"{name}: nothing is left of it; its parts do not overlap as they should")
    for tolerance in _SETTLING:
        settled = result.simplify(tolerance) if tolerance else result
        spots, triangles = _vertices_and_triangles(settled)
        # On the grid, points fall together that 32-bit floats hold apart, but not far enough to span a triangle.
        for placed in (spots, np.round(spots / GRID) * GRID):
            solid = settle(name, placed, triangles)
            if judge_merged(solid.vertices, solid.triangles).sound:
                return solid
    raise SolidError(f"{name}: parts of it touch along an edge or in a point, so it is no sound solid; move them apart")


def _vertices_and_triangles(result: Any) -> tuple[NDArray[np.float64], NDArray[Any]]:
    mesh = result.to_mesh64()
    return mesh.vert_properties[:, :3], mesh.tri_verts


def settle(name: str, vertices: NDArray[Any], triangles: NDArray[Any]) -> Solid:
    """Return a solid with vertices rounded to 32-bit floats, equal ones merged and collapsed triangles dropped."""
    merged, corners = merge_equal(vertices, triangles)
    whole = (corners[:, 0] != corners[:, 1]) & (corners[:, 1] != corners[:, 2]) & (corners[:, 2] != corners[:, 0])
    return Solid(name, merged, corners[whole].astype(np.int32))
