"""Cuts that meet little of a solid: only the patch of its surface that they are near goes through the kernel."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..errors import SolidError
from ..plane.beds import box_of
from .columns import columns_of, crossed, taken
from .kernel import cut, settle
from .plan.outlines import follow_rings
from .solid import Solid
from .soundness import drop_unused, judge_merged

ROUND = 0.5
"""How far beyond the box of a tool the patch reaches at least, mm."""

Apex = tuple[float, float, float]


def cut_near(solid: Solid, tool: Solid, inside: Apex, *, name: str) -> Solid:
    """Return ``solid`` without what lies in ``tool``, as :func:`~stampwright.solids.cut` does, but sooner.

    ``inside``: a point, mm, from which the surface near the tool is seen from behind. The patch there becomes a solid
    of its own, which comes to a tip in that point, and is cut; where it cannot be told apart, the whole is. Raises
    :class:`SolidError` when nothing sound is left.
    """
    patch = _near(solid, tool)
    tipped = _tipped(solid, patch, inside)
    if tipped is not None:
        try:
            found = _put_back(solid, patch, inside, tipped, cut(tipped, [tool], name=name))
        except SolidError:
            found = None
        if found is not None:
            return found
    return cut(solid, [tool], name=name)


def _near(solid: Solid, tool: Solid) -> NDArray[np.bool_]:
    """Return which triangles of a solid, (m,), have a box that comes near that of the tool."""
    # What no triangle has may lie anywhere.
    low, high = box_of(tool.vertices[tool.triangles.ravel()])
    near = np.ones(len(solid.triangles), dtype=np.bool_)
    corners = solid.triangles.T
    for axis, column in enumerate(columns_of(solid.vertices)):
        below, above = column < low[axis] - ROUND, column > high[axis] + ROUND
        for beyond in (below, above):
            first, second, third = (beyond[corner] for corner in corners)
            near &= ~(first & second & third)
    return near


def _tipped(solid: Solid, patch: NDArray[np.bool_], inside: Apex) -> Solid | None:
    """Return the solid between a patch and a point; None where the patch has holes, or is not seen from there."""
    triangles = solid.triangles[patch].astype(np.int64)
    if not len(triangles) or patch.all():
        return None
    apart = columns_of(solid.vertices - np.array(inside))
    first, second, third = (taken(apart, triangles[:, corner]) for corner in range(3))
    (x, y, z), (across, up, out) = first, crossed(second, third)
    if not np.all(x * across + y * up + z * out > 0):
        return None
    edge = _open_edges(triangles, len(solid.vertices))
    ahead = np.full(len(solid.vertices), -1)
    ahead[edge[:, 0]] = edge[:, 1]
    order, sizes = follow_rings(ahead)
    if len(sizes) != 1 or len(order) != len(edge):
        return None
    tip = np.full(len(edge), len(solid.vertices))
    faces = np.concatenate((triangles, np.column_stack((edge[:, 1], edge[:, 0], tip))))
    points, numbered = drop_unused(np.vstack((solid.vertices, np.array(inside, dtype=np.float32))), faces)
    return Solid(solid.name, points, numbered.astype(np.int32))


def _open_edges(triangles: NDArray[np.int64], count: int) -> NDArray[np.int64]:
    """Return the edges, (e, 2), that one of ``triangles`` has and no other runs back."""
    starts, ends = triangles.ravel(), triangles[:, (1, 2, 0)].ravel()
    single = ~np.isin(starts * count + ends, ends * count + starts)
    return np.column_stack((starts, ends))[single]


def _put_back(solid: Solid, patch: NDArray[np.bool_], inside: Apex, tipped: Solid, made: Solid) -> Solid | None:
    """Return a solid with what was made of its patch in its place; None where more than the patch was cut."""
    at_tip = (made.vertices == np.array(inside, dtype=np.float32)).all(axis=1)
    kept = ~at_tip[made.triangles].any(axis=1)
    if len(kept) - np.count_nonzero(kept) != len(tipped.triangles) - np.count_nonzero(patch):
        return None
    faces = np.concatenate((solid.triangles[~patch], made.triangles[kept] + len(solid.vertices)))
    whole = settle(made.name, *drop_unused(np.vstack((solid.vertices, made.vertices)), faces))
    return whole if judge_merged(whole.vertices, whole.triangles).sound else None
