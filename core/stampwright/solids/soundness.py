"""Soundness of a triangle mesh as a file holds it: closed, oriented, without degenerate triangles."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .columns import columns_of, normals_of, taken

_MIX, _MIX_TOO = np.uint64(0x9E3779B97F4A7C15), np.uint64(0xC2B2AE3D27D4EB4F)
"""Odd factors that spread keys over 64 bits, so that different points practically never share one."""


@dataclass(frozen=True, kw_only=True)
class Soundness:
    """What was found about a mesh after rounding to 32-bit floats and merging equal vertices.

    ``open_edges``: edges in one triangle only; ``non_manifold_edges``: in more than two; ``flipped_edges``: in two that
    run it in the same direction. ``degenerate``: triangles without area. ``volume``: mm³, positive when faces look
    outward.
    """

    vertices: int
    triangles: int
    open_edges: int
    non_manifold_edges: int
    flipped_edges: int
    degenerate: int
    volume: float

    @property
    def closed(self) -> bool:
        """Whether every edge is in exactly two triangles."""
        return self.open_edges == 0 and self.non_manifold_edges == 0

    @property
    def oriented(self) -> bool:
        """Whether neighbouring triangles agree on which side is out."""
        return self.flipped_edges == 0 and self.volume > 0

    @property
    def sound(self) -> bool:
        """Whether the mesh is the surface of a solid."""
        return self.triangles >= 4 and self.closed and self.oriented and self.degenerate == 0

    def explain(self) -> str:
        """Say in one phrase what is wrong, or that nothing is."""
        faults = [
            f"{count} {what}"
            for count, what in (
                (self.open_edges, "open edges"),
                (self.non_manifold_edges, "edges in more than two triangles"),
                (self.flipped_edges, "edges between triangles that face opposite ways"),
                (self.degenerate, "triangles without area"),
            )
            if count
        ]
        if self.triangles < 4:
            faults.append("fewer than four triangles")
        elif not faults and self.volume <= 0:
            faults.append("faces that look inward")
        return ", ".join(faults) or "sound"


def check_soundness(vertices: NDArray[Any], triangles: NDArray[Any]) -> Soundness:
    """Judge a mesh as a file would hold it.

    ``vertices``: (n, 3) floats, mm, rounded here to 32-bit floats; equal ones count as one. ``triangles``: (m, 3)
    indices.

    >>> corners = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    >>> faces = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    >>> check_soundness(corners, faces).sound, round(check_soundness(corners, faces).volume * 6, 12)
    (True, 1.0)
    """
    return judge_merged(*merge_equal(vertices, triangles))


def judge_merged(merged: NDArray[np.float64], triangles: NDArray[Any]) -> Soundness:
    """Judge a mesh that :func:`merge_equal` gave, or one without equal vertices that 32-bit floats hold.

    ``merged``: (n, 3) float, mm. ``triangles``: (m, 3) indices.
    """
    corners: NDArray[np.int64] = triangles.astype(np.int64, copy=False)
    count = len(corners)
    if count == 0:
        return Soundness(
            vertices=0, triangles=0, open_edges=0, non_manifold_edges=0, flipped_edges=0, degenerate=0, volume=0.0
        )
    open_edges, crowded, misturned = _edge_faults(corners, len(merged))
    normal = normals_of(merged, corners)
    flat = (normal[0] == 0) & (normal[1] == 0) & (normal[2] == 0)
    # About the middle, so that no digits are lost far from the origin.
    first = taken(columns_of(merged - merged.mean(axis=0)), corners[:, 0])
    volume = sum(float((a * n).sum()) for a, n in zip(first, normal, strict=True)) / 6.0
    return Soundness(
        vertices=len(merged),
        triangles=count,
        open_edges=open_edges,
        non_manifold_edges=crowded,
        flipped_edges=misturned,
        degenerate=int(flat.sum()),
        volume=volume,
    )


def _edge_faults(corners: NDArray[np.int64], vertex_count: int) -> tuple[int, int, int]:
    """Count edges in one triangle only, in more than two, and in two that run them the same way."""
    a, b, c = np.ascontiguousarray(corners.T)
    start, end = np.concatenate((a, b, c)), np.concatenate((b, c, a))
    upward = start < end
    up, down, count = np.flatnonzero(upward), np.flatnonzero(~upward), np.int64(vertex_count)
    forth, back = start[up] * count + end[up], end[down] * count + start[down]
    if _are_paired(forth, back):
        return 0, 0, 0
    edges, place = np.unique(np.concatenate((forth, back)), return_inverse=True)
    forwards = np.bincount(place[: len(forth)], minlength=len(edges))
    uses = np.bincount(place, minlength=len(edges))
    return int((uses == 1).sum()), int((uses > 2).sum()), int(((uses == 2) & (forwards != 1)).sum())


def _are_paired(forth: NDArray[np.int64], back: NDArray[np.int64]) -> bool:
    """Whether two sets of keys are the same, and neither has any key twice; without sorting, in a third of the time.

    Keys go into places of a table by their bits. Each place keeps one key of the first set and must be met by just one
    of the second; those that found theirs taken go round again.
    """
    turn = 0
    while len(forth) == len(back) and len(forth):
        bits = len(forth).bit_length() + 1
        mix = _MIX if turn % 2 else _MIX_TOO
        shift = np.uint64(64 - bits)
        places, sought = (
            (((keys.view(np.uint64) + np.uint64(turn)) * mix) >> shift).view(np.int64) for keys in (forth, back)
        )
        numbers = np.arange(len(forth), dtype=np.int32)
        kept = np.full(1 << bits, -1, dtype=np.int32)
        kept[places] = numbers
        has_place, found = kept[places] == numbers, kept[sought]
        met = (found >= 0) & (forth[found] == back)
        is_met = np.zeros(len(forth), dtype=np.bool_)
        is_met[found[met]] = True
        if not (is_met == has_place).all() or np.count_nonzero(met) != np.count_nonzero(has_place):
            return False
        forth, back = forth[~has_place], back[~met]
        turn += 1
    return len(forth) == len(back)


def drop_unused(points: NDArray[Any], triangles: NDArray[Any]) -> tuple[NDArray[Any], NDArray[np.int64]]:
    """Return the points, (n, 3), that triangles name, in their order, and the triangles, (m, 3), by their new names."""
    used = np.zeros(len(points), dtype=np.bool_)
    used[triangles] = True
    return points[used], (np.cumsum(used) - 1)[triangles]


def merge_equal(vertices: NDArray[Any], triangles: NDArray[Any]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Round vertices to 32-bit floats and make equal ones one; returns (k, 3) vertices and (m, 3) indices into them.

    Vertices stay in their order, equal ones where the first of them was.
    """
    # Adding zero makes negative zeros positive.
    rounded = np.ascontiguousarray(vertices, dtype=np.float32).reshape(-1, 3) + np.float32(0.0)
    corners = np.asarray(triangles, dtype=np.int64).reshape(-1, 3)
    if len(rounded) == 0:
        return rounded.astype(np.float64), corners
    # The bits of x, y and z are mixed into one key, which brings equal ones together.
    bits = rounded.view(np.uint32).astype(np.uint64)
    key = ((bits[:, 0] << np.uint64(32)) | bits[:, 1]) * _MIX + bits[:, 2] * _MIX_TOO
    order = np.argsort(key)
    keys = key[order]
    if bool((keys[1:] != keys[:-1]).all()):
        return rounded.astype(np.float64), corners
    sorted_points = rounded[order]
    fresh = np.concatenate(([True], (sorted_points[1:] != sorted_points[:-1]).any(axis=1)))
    # In the order in which each comes first: neighbours stay neighbours, which all that works on them is quicker for.
    group = np.cumsum(fresh) - 1
    first = np.minimum.reduceat(order, np.flatnonzero(fresh))
    kept = np.zeros(len(rounded), dtype=np.bool_)
    kept[first] = True
    place = np.empty(len(rounded), dtype=np.int64)
    place[order] = (np.cumsum(kept) - 1)[first][group]
    return rounded[kept].astype(np.float64), place[corners]
