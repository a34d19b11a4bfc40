"""Prints that were struck twice: the same edges again, a little beside themselves."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import MultiPolygon

from ...plane.overlays import joined
from ...plane.regions import filled_parts
from ..finding.scans import Scan
from ..finding.views import View, as_seen
from ..finding.vision import vision
from .edges import LaidOn, distance_at, distances_to, edges_of, lay_on_edges, solid_level

Floats = NDArray[np.float64]

LEAST_SHIFT = 0.12
"""Shift from one strike to the other that is told, mm: less is how ink creeps."""

_CLEAN = 0.012  # mm that edges stray; cleaner prints were struck once
_BETTER = 0.6  # of that, to which two strikes bring it down
_SHIFTS = (0.15, 0.25, 0.4, 0.6, 0.9, 1.3, 1.8, 2.4)  # mm, tried in every direction
_DIRECTIONS = 12
_CAP = 0.3  # mm: edges farther off than this are none of either strike's
_LEAST_TRIED = 0.05  # mm; from strikes that lie so near, none is told from the other
_ROUNDS = 3  # in which shift and view are found by turns
_STEPS = 12  # of Gauss and Newton
_INKED = 0.7  # of each strike's face, that shows ink
_SHARE = 0.15  # of the edges, that each strike explains


class Struck(NamedTuple):
    """A print that was struck twice: how its first strike lies, and where the second is from there, mm, paper frame."""

    laid: LaidOn
    shift: tuple[float, float]


def struck_twice(scan: Scan, face: MultiPolygon, laid: LaidOn, *, flat: bool) -> Struck | None:
    """Return how a print that was struck twice lies; None where one strike explains its edges as well.

    ``laid``: how it lies as one strike; ``flat``: whether a flatbed scanner saw it. A stamp that slid while it was
    pressed leaves the same edges: it is taken for one that was struck twice.
    """
    if laid.error < _CLEAN:
        return None
    distances, corner = distances_to(face)
    again, apart, of_first = laid, np.zeros(2), 0.0
    for turn in range(_ROUNDS):
        places = again.view.unproject(edges_of(scan, again.view, face))

        def away(shifts: Floats, places: Floats = places) -> Floats:
            return np.stack([distance_at(distances, corner, places - shift) for shift in shifts])

        shifts = np.stack((np.zeros(2), apart)) if turn else _nearest(away)
        for _ in range(_STEPS):
            shifts = _stepped(away, shifts)
        of_first = float(np.mean(np.diff(away(shifts), axis=0)[0] > 0.0))
        # The strike that more of the edges are of counts as the first.
        first, second = shifts if of_first >= 0.5 else shifts[::-1]
        apart = second - first
        if not _LEAST_TRIED <= float(np.hypot(*apart)) <= 2.0 * _SHIFTS[-1]:
            return None
        both = both_strikes(face, (float(apart[0]), float(apart[1])))
        again = lay_on_edges(scan, both, _moved(again.view, first), flat=flat)
    inked = min(_inked(scan, face, again.view, at) for at in (np.zeros(2), apart))
    if (
        again.error > _BETTER * laid.error
        or inked < _INKED
        or not _SHARE < of_first < 1.0 - _SHARE
        or float(np.hypot(*apart)) < LEAST_SHIFT
    ):
        return None
    return Struck(again, (float(apart[0]), float(apart[1])))


def both_strikes(face: MultiPolygon, shift: tuple[float, float]) -> MultiPolygon:
    """Return what two strikes print, the second of them shifted, mm."""
    return filled_parts(joined(face, affinity.translate(face, *shift)))


def _nearest(away: Callable[[Floats], Floats]) -> Floats:
    """Return the two shifts of a grid, (2, 2) mm, under which edges are most at one distance from either strike."""
    best, least = np.zeros((2, 2)), np.inf
    for turn in np.arange(_DIRECTIONS) * np.pi / _DIRECTIONS:
        for size in _SHIFTS:
            apart = size * np.array([np.cos(turn), np.sin(turn)])
            # One strike may lie where the print was thought to, or the middle between both.
            for start in (0.0, -0.5, -1.0):
                shifts = np.stack((start * apart, (start + 1.0) * apart))
                off = _off(away(shifts).min(axis=0))[0]
                cost = float(np.minimum(np.abs(off), _CAP).mean())
                if cost < least:
                    best, least = shifts, cost
    return best


def _off(nearest: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Return how far edges are off their spread, mm, and which of them count."""
    spread = float(np.median(nearest[np.abs(nearest) < _CAP])) if (np.abs(nearest) < _CAP).any() else 0.0
    off = nearest - spread
    return off, np.abs(off) < max(4.0 * float(np.median(np.abs(off))), 0.05)


def _stepped(away: Callable[[Floats], Floats], shifts: Floats) -> Floats:
    """Return shifts after one step of least squares, each edge belonging to the strike that it is nearer to."""
    wide = 0.02
    now = away(shifts)
    whose = now.argmin(axis=0)
    off, kept = _off(now.min(axis=0))
    columns = [np.ones(len(off))]
    for axis in (0, 1):
        step = np.zeros((2, 2))
        step[:, axis] = wide
        slope = (away(shifts + step) - away(shifts - step)) / (2.0 * wide)
        columns += [np.where(whose == strike, slope[strike], 0.0) for strike in (0, 1)]
    design = np.stack(columns, axis=-1)[kept]
    square = design.T @ design + 1e-6 * len(design) * np.eye(5)
    change = np.linalg.solve(square, -design.T @ off[kept])
    return np.asarray(shifts + np.clip(change[1:].reshape(2, 2).T, -0.2, 0.2))


def _moved(view: View, shift: Floats) -> View:
    to = np.array([[1.0, 0.0, shift[0]], [0.0, 1.0, shift[1]], [0.0, 0.0, 1.0]])
    return View(view.matrix @ to, view.bulge, view.middle, view.half_diagonal)


def _inked(scan: Scan, face: MultiPolygon, view: View, shift: Floats) -> float:
    """Return the share of a strike's face that shows ink."""
    left, bottom, right, top = face.bounds
    x, y = np.meshgrid(np.arange(left, right, 0.3), np.arange(bottom, top, 0.3))
    inside = shapely.contains_xy(face, x, y)
    level = as_seen(scan.level, view.project(np.stack((x[inside], y[inside]), axis=-1) + shift), vision())
    return float(np.mean(level < (1.0 + solid_level(scan, view, face)) / 2.0)) if level.size else 0.0
