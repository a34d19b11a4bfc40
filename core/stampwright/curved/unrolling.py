"""A bent die unrolled: the flat die that it was, so that whatever judges flat dies judges bent ones, too."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from ..errors import SolidError
from ..solids import Solid
from ..solids.kernel import settle, settled, triangulate
from ..solids.soundness import drop_unused, judge_merged
from .bend import Bend, Pose
from .cutting import cut_between

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]

ON_SEAM = 2e-5
"""What lies within this of where a roller is cut open lies on the cut, mm: more than 32-bit floats move it."""


def unroll(solid: Solid, bend: Bend, pose: Pose) -> tuple[Solid, ...]:
    """Return a bent die flat again, die frame, face up: one solid, or for a roller one for each repeat round it.

    ``solid``: as it lies or stands, see :meth:`~stampwright.curved.bend.Bend.placed`. Each repeat of a roller is cut
    off where the artwork's base ends, half a repeat to each side of x = 0, and closed there.
    """
    return unroll_about(Solid(solid.name, bend.round_axis(solid.vertices, pose), solid.triangles), bend)


def unroll_about(solid: Solid, bend: Bend) -> tuple[Solid, ...]:
    """Return what :func:`unroll` does of a solid whose places are told round the axis, (s, t, c)."""
    flat = bend.unrolled(solid.vertices)
    if not bend.closed:
        return (Solid(solid.name, bend.turned_back(flat), solid.triangles),)
    return tuple(_one_repeat(solid, flat, bend, turn) for turn in range(bend.turns))


def _one_repeat(solid: Solid, flat: Floats, bend: Bend, turn: int) -> Solid:
    """Return the repeat whose middle lies ``turn`` repeats along."""
    middle, half = turn * bend.repeat, bend.repeat / 2.0
    low, high = middle - half, middle + half
    points, triangles = _covering(flat, solid.triangles.astype(np.int64), bend, low, high)
    points, triangles = cut_between(points, triangles, low, high, near=ON_SEAM)
    caps = [cap(points, triangles, low, upper=False), cap(points, triangles, high, upper=True)]
    kept, triangles = drop_unused(points, np.concatenate((triangles, *caps)))
    return _as_filed(Solid(solid.name, bend.turned_back(kept - (middle, 0.0, 0.0)), triangles.astype(np.int32)))


def _as_filed(once: Solid) -> Solid:
    """Return a repeat that is sound with points as files hold them, as far as it can be.

    Where an edge of the relief all but lies in the cut, points come so close there that files take them for one.
    """
    held = settle(once.name, once.vertices, once.triangles)
    if judge_merged(held.vertices, held.triangles).sound:
        return once if len(held.triangles) == len(once.triangles) else held
    try:
        return settled(once)
    except SolidError:
        # A mesh of somebody else's may be open, and is pressed as it is.
        return once


def _covering(flat: Floats, triangles: Indices, bend: Bend, low: float, high: float) -> tuple[Floats, Indices]:
    """Return the triangles that reach into a window along x, each whole, wherever the roller begins and ends."""
    once = 2.0 * math.pi * bend.radius
    along = flat[triangles, 0]
    # A triangle that spans where angles begin anew is put together again about its first corner.
    wraps = np.rint((along[:, :1] - along) / once).astype(np.int64)
    along = along + wraps * once
    least, most = along.min(axis=1), along.max(axis=1)
    names, reached = [], []
    for shift in (-1, 0, 1, 2):
        within = (most + shift * once > low + ON_SEAM) & (least + shift * once < high - ON_SEAM)
        names.append((wraps[within] + shift + 4) * len(flat) + triangles[within])
        reached.append(within)
    keys, corners = np.unique(np.concatenate(names), return_inverse=True)
    points = flat[keys % len(flat)]
    points[:, 0] += (keys // len(flat) - 4) * once
    return points, corners.reshape(-1, 3)


def cap(points: Floats, triangles: Indices, at: float, *, upper: bool) -> Indices:
    """Return triangles, (m, 3), that close a mesh where it is open in the plane x = ``at``, mm.

    ``upper``: whether it lies below that x. Nothing comes back where its open edges make no plain rings.
    """
    level = np.abs(points[:, 0] - at) < ON_SEAM
    starts, ends = triangles.ravel(), triangles[:, (1, 2, 0)].ravel()
    within = level[starts] & level[ends]
    starts, ends = starts[within], ends[within]
    # The cap runs an open edge the other way round.
    single = ~np.isin(starts * len(points) + ends, ends * len(points) + starts)
    following = dict(zip(ends[single].tolist(), starts[single].tolist(), strict=True))
    if len(following) != int(single.sum()) or set(following) != set(following.values()):
        return np.empty((0, 3), dtype=np.int64)
    rings: list[list[int]] = []
    while following:
        first, here = next(iter(following.items()))
        del following[first]
        ring = [first]
        while here != first:
            ring.append(here)
            here = following.pop(here)
        rings.append(ring)
    # Seen against x, t runs to the right and heights up; seen along x the other way.
    seen = (1, 2) if upper else (2, 1)
    order = np.asarray([number for ring in rings for number in ring], dtype=np.int64)
    closing = triangulate([points[ring][:, seen] for ring in rings]).astype(np.int64)
    return order[closing] if len(closing) else np.empty((0, 3), dtype=np.int64)
