"""The cylinder of a mesh that someone else bent: where its axis is, how large it is, and whether it goes all round.

A bent die shows by its large surfaces: they face away from one line or towards it, at a few distances from it. A flat
die's face none of its edges' normals that way, but for the rim of a round one, which is little of it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .bend import Bend

Floats = NDArray[np.float64]

RADIAL = 0.995
"""Least cosine between a triangle's normal and the way from the axis that counts as radial: chords of 0.005 mm."""

LEAST_RADIAL = 0.15
"""Share of a mesh's surface that is radial, and at few distances, in a bent die at least (measured: 0.27 to 0.6 in bent
dies, under 0.07 in flat ones with a round rim)."""

LEAST_TOLD = 0.08
"""The same where the axis was told, and less is enough to believe it."""

LEAST_RELIEF = 0.3
"""What lies so far below the outermost surface, mm, is no part of it: the least relief is 0.4."""

MOST_SMOOTH = 0.93
"""Share of what faces outwards that may be outermost: a face leaves some of its floor bare."""

LARGEST = 1100.0
"""Radius over which a die counts as flat, mm: a job bends to 1000 at most."""

OFF_CHORD = 0.045
"""How far the middle of a facet may lie off that of its chord: a sixth of chords of 0.01 mm, per root of the radius."""

_LEVEL = 0.02  # mm; distances from the axis within this are one
_FEW = 4  # levels: the floor above and below, the face as printed and as finished
_TRIED = 48  # circles through three points, for each way that the axis may run
_AROUND = math.radians(30.0)  # a gap wider than this shows that a face ends


@dataclass(frozen=True, eq=False)
class Recognised:
    """A bent mesh: ``points``, (n, 3) mm, round its axis as :class:`Bend` has them, and the bend without its pose.

    ``upright``: whether the axis stands upright in the file; what is left and right then shows, but not what is up.
    """

    points: Floats
    bend: Bend
    upright: bool


def recognise(
    vertices: NDArray[Any],
    triangles: NDArray[Any],
    *,
    axis: str | None = None,
    dressing: float = 0.0,
    upward: bool | None = None,
) -> Recognised | None:
    """Return how a mesh is bent, None for one that is flat or nothing that is known.

    ``vertices``: (n, 3), mm; ``triangles``: (m, 3). ``axis``: "x", "y" or "z" where it is known along which the axis
    runs. ``dressing``: what still stands over the finished face, mm, whose length is that on paper. ``upward``: whether
    it rolls up the print; None where the file shall tell: a die that lies along x does.
    """
    spots, corners = np.asarray(vertices, dtype=np.float64), np.asarray(triangles)
    if axis is not None:
        along = np.eye(3)["xyz".index(axis)]
        found = _about(spots, corners, along)
        if found is None or found[0] < LEAST_TOLD:
            return None
        return _placed(spots, along, found[1], dressing, upward)
    # Files of dies mostly have their axis along x, y or z, and then just so; others are looked for after that.
    for ways in (list(np.eye(3)), [_straightened(spots, corners, way) for way in _eigen_ways(spots, corners)]):
        tried = [(_about(spots, corners, along), along) for along in ways]
        share, centre, along = max(
            ((found[0], found[1], along) for found, along in tried if found is not None),
            key=lambda each: each[0],
            default=(0.0, np.zeros(2), np.eye(3)[2]),
        )
        if share >= LEAST_RADIAL:
            return _placed(spots, along, centre, dressing, upward)
    return None


def _eigen_ways(spots: Floats, triangles: NDArray[Any]) -> list[Floats]:
    """Return the ways that stand out among those that a mesh's surface faces, unit vectors."""
    normals, areas = _normals(spots, triangles)
    return list(np.linalg.eigh((normals * areas[:, None]).T @ normals)[1].T)


def _straightened(spots: Floats, triangles: NDArray[Any], along: Floats) -> Floats:
    """Return a way turned so that what faces nearly across it faces across it as well as can be."""
    normals, areas = _normals(spots, triangles)
    for slack in (0.1, 0.03, 0.01):
        across = np.abs(normals @ along) < slack
        if across.sum() < 8:
            break
        spread = (normals[across] * areas[across, None]).T @ normals[across]
        along = np.linalg.eigh(spread)[1][:, 0]
    return along


def _normals(spots: Floats, triangles: NDArray[Any]) -> tuple[Floats, Floats]:
    corners = spots[triangles]
    crossed = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    areas = np.linalg.norm(crossed, axis=1)
    return crossed / np.maximum(areas, 1e-30)[:, None], areas


def _about(spots: Floats, triangles: NDArray[Any], along: Floats) -> tuple[float, Floats] | None:
    """Return the share of the surface that is radial about the best axis that runs a way, and where that axis is."""
    across = _across(along)
    flat = spots @ across.T
    normals, areas = _normals(spots, triangles)
    side = normals @ across.T
    # Only what runs along the axis can be round it, and only level corners tell of its middle.
    standing = np.flatnonzero(np.hypot(side[:, 0], side[:, 1]) > RADIAL)
    if len(standing) < 8:
        return None
    middles = flat[triangles[standing]].mean(axis=1)
    facing, weight = side[standing], areas[standing]
    centre = _middle(middles, facing, weight)
    if centre is None:
        return None
    nearly_round = _is_round(flat, triangles[standing], facing, centre, slack=0.3)
    if not nearly_round.any():
        return None
    centre = _fitted(flat, triangles[standing[nearly_round]], centre)
    round_about = _is_round(flat, triangles[standing], facing, centre, slack=_LEVEL)
    if not round_about.any():
        return None
    about = flat[triangles[standing[round_about]]].mean(axis=1) - centre
    if not _is_relief(about, facing[round_about], weight[round_about]):
        return None
    distances = np.hypot(*(flat[triangles[standing[round_about], 0]] - centre).T)
    levels = np.rint(distances / _LEVEL).astype(np.int64)
    held = np.bincount(levels - levels.min(), weight[round_about], minlength=2)
    # What falls half to one level and half to the next is one.
    fullest = np.sort(held[:-1] + held[1:])[::-1][: 2 * _FEW]
    return min(float(fullest.sum() / 2.0), float(weight[round_about].sum())) / float(areas.sum()), centre


def _is_relief(away: Floats, facing: Floats, areas: Floats) -> bool:
    """Say whether what is round about a centre may be a face with relief: it turns as it goes round, at two distances.

    A level face does not turn, and the rim of a flat base is all at one distance. ``away``: (n, 2) mm, of triangles
    from the centre.
    """
    distances = np.hypot(away[:, 0], away[:, 1])
    if distances.max() > LARGEST or distances.min() <= 0.0:
        return False
    outward = facing * np.sign((facing * away).sum(axis=1))[:, None]
    places = away / distances[:, None]
    # How far directions scatter: 1 less the length of their mean.
    turned, placed = (1.0 - float(np.hypot(*each.mean(axis=0))) for each in (outward, places))
    outside = (facing * away).sum(axis=1) > 0.0
    outermost = outside & (distances > distances[outside].max(initial=0.0) - LEAST_RELIEF)
    smooth = areas[outermost].sum() > MOST_SMOOTH * areas[outside].sum()
    return turned > 0.5 * placed and placed > 1e-6 and not smooth


def _is_round(
    flat: Floats, triangles: NDArray[Any], facing: Floats, centre: Floats, *, slack: float
) -> NDArray[np.bool_]:
    """Say which triangles face straight away from a centre or towards it, their corners as far, within ``slack`` mm."""
    away = flat[triangles] - centre
    distances = np.hypot(away[..., 0], away[..., 1])
    middle = away.mean(axis=1)
    radial = np.abs((middle * facing).sum(axis=1)) > RADIAL * np.maximum(np.hypot(middle[:, 0], middle[:, 1]), 1e-12)
    even: NDArray[np.bool_] = radial & (np.ptp(distances, axis=1) < slack)
    return even


def _middle(middles: Floats, facing: Floats, weight: Floats) -> Floats | None:
    """Return where most of the lines along normals meet, by pairs of them."""
    heavy = np.argsort(weight)[::-1][: 40 * _TRIED]
    step = max(1, len(heavy) // (2 * _TRIED))
    chosen = heavy[::step]
    best, most = None, 0.0
    for shift in (len(chosen) // 3, len(chosen) // 2, len(chosen) // 5 + 1):
        for one, other in zip(chosen, np.roll(chosen, shift), strict=True):
            turned = facing[one, 0] * facing[other, 1] - facing[one, 1] * facing[other, 0]
            if abs(turned) < 0.05:
                continue
            apart = middles[other] - middles[one]
            reach = (apart[0] * facing[other, 1] - apart[1] * facing[other, 0]) / turned
            centre = middles[one] + reach * facing[one]
            away = middles[heavy] - centre
            # The line through a facet's middle passes the axis as nearly as that lies to the middle of its chord.
            passing = np.abs(away[:, 0] * facing[heavy, 1] - away[:, 1] * facing[heavy, 0])
            aligned = passing < OFF_CHORD * np.sqrt(np.hypot(away[:, 0], away[:, 1]))
            held = float(weight[heavy][aligned].sum())
            if held > most:
                best, most = centre, held
    return best


def _fitted(flat: Floats, triangles: NDArray[Any], centre: Floats) -> Floats:
    """Return the centre of the circle on which most corners of radial triangles lie, fitted by least squares."""
    ring = flat[np.unique(triangles)]
    for width in (0.5, 0.2, 0.08, 0.03, 0.01):
        distances = np.sort(np.hypot(*(ring - centre).T))
        # The distance that most of them share, within what their middle is still off.
        ahead = np.searchsorted(distances, distances + width, side="right")
        fullest = int((ahead - np.arange(len(distances))).argmax())
        low, high = distances[fullest], distances[ahead[fullest] - 1]
        away = np.hypot(*(ring - centre).T)
        held = ring[(away >= low) & (away <= high)]
        if len(held) < 6:
            return centre
        # x² + y² = 2 a x + 2 b y + c, about where it is thought to be (I. Kasa 1976).
        moved = held - centre
        design = np.column_stack((2.0 * moved, np.ones(len(moved))))
        centre = centre + np.linalg.lstsq(design, (moved * moved).sum(axis=1), rcond=None)[0][:2]
    return centre


def _across(along: Floats) -> Floats:
    """Return two unit vectors across a way that make a right-handed frame with it, (2, 3)."""
    first = np.cross(along, np.eye(3)[int(np.argmin(np.abs(along)))])
    first /= np.linalg.norm(first)
    return np.stack((first, np.cross(along, first)))


def _placed(spots: Floats, along: Floats, centre: Floats, dressing: float, upward: bool | None) -> Recognised:
    """Return a mesh's points round its axis, the middle of its face at angle 0."""
    upright = bool(abs(along[2]) > 0.7)
    # Upright dies stand with their t up, their middle towards -y; those that lie along x roll up the print.
    lies_along_x = not upright and abs(along[0]) > abs(along[1])
    wanted = (0.0, 0.0, 1.0) if upright else (-1.0, 0.0, 0.0) if lies_along_x else (0.0, 1.0, 0.0)
    across = _across(along)
    if along @ np.array(wanted) < 0.0:
        along = -along
    origin = centre @ across
    out = np.array([0.0, -1.0, 0.0]) if upright else np.array([0.0, 0.0, 1.0])
    up = out - (out @ along) * along
    up /= np.linalg.norm(up)
    sideways = np.cross(along, up)
    points = np.stack(((spots - origin) @ sideways, spots @ along, (spots - origin) @ up), axis=1)
    distances = np.hypot(points[:, 0], points[:, 2])
    angles = np.sort(np.arctan2(points[:, 0], points[:, 2]))
    gaps = np.diff(np.concatenate((angles, angles[:1] + 2.0 * math.pi)))
    closed = bool(gaps.max() < _AROUND)
    if not closed:
        widest = int(gaps.argmax())
        middle = angles[widest] + gaps[widest] / 2.0 + math.pi
        turned = np.column_stack(
            (
                points[:, 0] * math.cos(middle) - points[:, 2] * math.sin(middle),
                points[:, 1],
                points[:, 0] * math.sin(middle) + points[:, 2] * math.cos(middle),
            )
        )
        points = turned
    points[:, 1] -= (points[:, 1].min() + points[:, 1].max()) / 2.0
    outer = float(distances.max())
    radius = outer - dressing
    length = 2.0 * math.pi * radius if closed else 0.0
    rolls_up = lies_along_x if upward is None else upward
    bend = Bend(
        radius=radius,
        height=radius - float(distances.min()),
        dressing=dressing,
        upward=rolls_up,
        repeat=length,
        turns=1 if closed else 0,
        seam=length / 2.0,
    )
    return Recognised(points, bend, upright)
