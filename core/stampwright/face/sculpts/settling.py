"""Settling a sculpt: what cannot print or would not leave the paper, found, said and brought to what can."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ...findings import Finding
from ...plane.overlays import all_joined
from ...plane.regions import filled_parts
from ...solids.kernel import regions_from
from ...solids.plan.even import rings_round
from ...solids.plan.filling import turning
from ..dense import DenseDie
from ..face_map import FaceHeights, FaceMap, Points, untouched
from ..textures.graining import samples_within

WORTH_SAYING = 0.01
"""Heights out of bounds by less than this, mm, are brought back without a word: no printer shows it."""

AIR = 0.05
"""A surface hidden deeper than this under what is seen, mm, undercuts; one nearer is folded onto itself."""

EDGE_MOVED = 0.05
"""How far the face's edge may be dragged along the paper, mm, before its coming back is worth saying."""

Mask = NDArray[np.bool_]

_KINDS = {
    "sculpt above the face": (
        "rose above the face by up to {most:.2f} mm and is level with it now: the face is what touches the paper",
        "Sculpt inwards only, or invert the brush.",
    ),
    "sculpt too deep": (
        "went down to {most:.2f} mm; {limit:.2f} mm is the deepest that the upright edge allows, and it has that now",
        "Raise face.depth, or sculpt less deep.",
    ),
    "sculpt below the floor": (
        "sank below the die's floor, to {most:.2f} mm under the face, and is {limit:.2f} mm deep now",
        "Raise face.depth and die.relief, or sculpt less deep.",
    ),
    "sculpt undercut": (
        "undercut itself by up to {most:.2f} mm; what lay hidden is filled: it would not print, nor leave the paper",
        "Sculpt along the face's normal, with brushes that do not drag.",
    ),
    "sculpt folded": (
        "folded onto itself and is now what was seen of it from above",
        "Smooth there, with brushes that do not drag or pinch.",
    ),
    "edge dragged": (
        "had the face's edge dragged along the paper by up to {most:.2f} mm; the edge is the artwork's again",
        "Change the artwork to change the outline; mask the edge while sculpting.",
    ),
}
"""What happened to a region, by kind, and what would keep it from happening."""


@dataclass(frozen=True, eq=False)
class Settled:
    """Settled heights, (rows, columns) mm; where something was settled, mm, paper frame; and what there is to say."""

    heights: FaceHeights
    region: MultiPolygon
    findings: tuple[Finding, ...]


@dataclass(frozen=True, eq=False)
class Sculpted:
    """A face as sculpted, all heights in mm over the untouched face.

    ``seen``: (rows, columns) from above, -inf outside of the ink, on the samples of ``held``; ``changed``: which of
    them are new. ``after``: (k, 3) the vertices on paper, ``triangles`` (m, 3) those that may have turned over;
    ``edge_moves``: (k,) how far vertices of the edge were dragged along the paper. ``depth``, ``floor``: how far down
    the face may go, and the floor lies, mm.
    """

    held: FaceMap
    seen: FaceHeights
    changed: Mask
    after: Points
    triangles: NDArray[np.int64]
    edge_moves: NDArray[np.float64]
    depth: float
    floor: float


def settle(face: Sculpted) -> Settled:
    """Return the heights kept between ``-depth`` and 0, and a finding for each sort of thing that was changed."""
    faults = _heights_out(face) + _hidden(face) + _edge_dragged(face)
    regions = [region for *_, region in faults]
    return Settled(
        heights=np.clip(face.seen, np.float32(-face.depth), np.float32(0.0)),
        region=filled_parts(all_joined(regions)) if regions else MultiPolygon(),
        findings=tuple(_finding(*fault) for fault in faults),
    )


def examine_maps(dense: DenseDie, inked: MultiPolygon) -> tuple[Finding, ...]:
    """Return where the maps that a die bears go beyond what its face takes, so that they are not borne in full.

    ``inked``: the face, mm, paper frame.
    """
    left, bottom, right, top = inked.bounds
    held = untouched((left, bottom, right, top), dense.spacing)
    seen = np.zeros(held.heights.size, dtype=np.float32)
    for each in (dense.grain, dense.sculpt):
        if each is not None:
            seen += each.at(held.samples)
    within = samples_within(inked, held)
    return settle(
        Sculpted(
            held=held,
            seen=np.where(within, seen.reshape(within.shape), -np.inf).astype(np.float32),
            changed=within,
            after=np.empty((0, 3)),
            triangles=np.empty((0, 3), dtype=np.int64),
            edge_moves=np.empty(0),
            depth=dense.depth,
            floor=dense.top - dense.floor,
        )
    ).findings


_Fault = tuple[str, float, float, float, MultiPolygon]
"""Kind, area mm², the most of what was measured and its limit, mm, and the region."""


def _heights_out(face: Sculpted) -> list[_Fault]:
    over = face.changed & (face.seen > WORTH_SAYING)
    sunk = face.changed & (face.seen < -face.floor)
    deep = face.changed & (face.seen < -face.depth - WORTH_SAYING) & ~sunk
    found = []
    for kind, where, sign, limit in (
        ("sculpt above the face", over, 1.0, 0.0),
        ("sculpt too deep", deep, -1.0, face.depth),
        ("sculpt below the floor", sunk, -1.0, face.depth),
    ):
        if where.any():
            area = float(np.count_nonzero(where)) * face.held.spacing**2
            found.append((kind, area, float((sign * face.seen[where]).max()), limit, region_of(where, face.held)))
    return found


def _hidden(face: Sculpted) -> list[_Fault]:
    """Tell what lies under itself: triangles that face down, by how deep below the surface they are hidden."""
    doubled = turning(face.after[:, :2], face.triangles)
    down = np.flatnonzero(doubled < 0)
    if not len(down):
        return []
    middle = face.after[face.triangles[down]].mean(axis=1)
    rows, columns = face.seen.shape
    column, row = np.rint(face.held.steps(middle[:, :2])).astype(np.int64).T
    inside = (column >= 0) & (column < columns) & (row >= 0) & (row < rows)
    down, middle, column, row = down[inside], middle[inside], column[inside], row[inside]
    seen = np.where(np.isneginf(face.seen[row, column]), middle[:, 2], face.seen[row, column])
    hidden = seen - middle[:, 2]
    found: list[_Fault] = []
    for kind, which in (("sculpt undercut", hidden > AIR), ("sculpt folded", hidden <= AIR)):
        area = float(-doubled[down[which]].sum()) / 2
        if area >= face.held.spacing**2:
            where = np.zeros(face.seen.shape, dtype=bool)
            where[row[which], column[which]] = True
            found.append((kind, area, float(hidden[which].max()), 0.0, region_of(where, face.held)))
    return found


def _edge_dragged(face: Sculpted) -> list[_Fault]:
    """Tell where the edge was dragged; ``edge_moves`` is 0 for vertices that are not on it."""
    dragged = np.flatnonzero(face.edge_moves > EDGE_MOVED)
    if not len(dragged):
        return []
    rows, columns = face.seen.shape
    column, row = np.rint(face.held.steps(face.after[dragged, :2])).astype(np.int64).T
    where = np.zeros(face.seen.shape, dtype=bool)
    where[np.clip(row, 0, rows - 1), np.clip(column, 0, columns - 1)] = True
    area = float(np.count_nonzero(where)) * face.held.spacing**2
    return [("edge dragged", area, float(face.edge_moves.max()), EDGE_MOVED, region_of(where, face.held))]


def _finding(kind: str, area: float, most: float, limit: float, region: MultiPolygon) -> Finding:
    message, remedy = _KINDS[kind]
    return Finding(
        kind=kind,
        severity="warns",
        stage="build",
        message=f"{area:.2f} mm² of the sculpt {message.format(most=most, limit=limit)}",
        remedy=remedy,
        place=region,
        measured=most,
        limit=limit,
    )


def region_of(where: Mask, held: FaceMap) -> MultiPolygon:
    """Return the cells of marked samples as a region, mm, paper frame."""
    rings = [held.corner + ring * held.spacing for ring in rings_round(where)]
    return regions_from(rings)
