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
_TRIED = 4  # shifts of the grid that are gone after
_ALIKE = 0.35  # mm, by which these differ
_CAP = 0.3  # mm: edges farther off than this are none of either strike's
_LEAST_TRIED = 0.05  # mm; from strikes that lie so near, none is told from the other
_STEPS = 12  # of Gauss and Newton
_INKED = 0.7  # of each strike's face, that shows ink
_SHARE = 0.15  # of the edges, that each strike explains


class Struck(NamedTuple):
    """A print that was struck twice: how its first strike lies, and where the second is from there, mm, paper frame."""

    laid: LaidOn
    shift: tuple[float, float]


class _Lies(NamedTuple):
    """How a print of two strikes lies, and the shifts of both, (2, 2) mm."""

    laid: LaidOn
    shifts: Floats


def struck_twice(
    scan: Scan, face: MultiPolygon, laid: LaidOn, near: View, *, flat: bool, power: float
) -> Struck | None:
    """Return how a print that was struck twice lies; None where one strike explains its edges as well.

    ``laid``: how it lies as one strike; ``near``: how it did before its edges were laid on, which two strikes draw
    askew; ``flat``: whether a flatbed scanner saw it; ``power``: takes brightness to the scale of its blur. A stamp
    that slid while it was pressed leaves the same edges: it is taken for one that was struck twice.
    """
    if laid.error < _CLEAN:
        return None
    distances, corner = distances_to(face)

    def seen_from(view: View) -> Callable[[Floats], Floats]:
        places = view.unproject(edges_of(scan, view, face, power))
        return lambda shifts: np.stack([distance_at(distances, corner, places - shift) for shift in shifts])

    def brought_together(lies: _Lies | None) -> _Lies | None:
        if lies is None:
            return None
        away, shifts = seen_from(lies.laid.view), lies.shifts
        for _ in range(_STEPS):
            shifts = _stepped(away, shifts)
        # The strike that more of the edges are of counts as the first.
        of_first = float(np.mean(np.diff(away(shifts), axis=0)[0] > 0.0))
        first, second = shifts if of_first >= 0.5 else shifts[::-1]
        apart = second - first
        if not _LEAST_TRIED <= float(np.hypot(*apart)) <= 2.0 * _SHIFTS[-1] or not _SHARE < of_first < 1.0 - _SHARE:
            return None
        both = both_strikes(face, (float(apart[0]), float(apart[1])))
        again = lay_on_edges(scan, both, _moved(lies.laid.view, first), flat=flat, power=power)
        return _Lies(again, np.stack((np.zeros(2), apart)))

    begun = [_Lies(laid._replace(view=near), shifts) for shifts in _likeliest(seen_from(near))]
    found = [lies for each in begun if (lies := brought_together(brought_together(each))) is not None]
    best = brought_together(min(found, key=lambda each: each.laid.error, default=None))
    if best is None or best.laid.error > _BETTER * laid.error:
        return None
    apart = best.shifts[1]
    inked = min(_inked(scan, face, best.laid.view, at) for at in best.shifts)
    if inked < _INKED or float(np.hypot(*apart)) < LEAST_SHIFT:
        return None
    return Struck(best.laid, (float(apart[0]), float(apart[1])))


def both_strikes(face: MultiPolygon, shift: tuple[float, float]) -> MultiPolygon:
    """Return what two strikes print, the second of them shifted, mm."""
    return filled_parts(joined(face, affinity.translate(face, *shift)))


def _likeliest(away: Callable[[Floats], Floats]) -> list[Floats]:
    """Return pairs of shifts, (2, 2) mm, under which edges are most at one distance from either strike.

    Of art that repeats itself the best of a grid need not be near the true one: several are gone after.
    """
    found: list[tuple[float, Floats]] = []
    for turn in np.arange(_DIRECTIONS) * np.pi / _DIRECTIONS:
        for size in _SHIFTS:
            apart = size * np.array([np.cos(turn), np.sin(turn)])
            # One strike may lie where the print was thought to, or the middle between both.
            for start in (0.0, -0.5, -1.0):
                shifts = np.stack((start * apart, (start + 1.0) * apart))
                found.append((_cost(away, shifts), shifts))
    kept: list[Floats] = []
    for _, shifts in sorted(found, key=lambda each: each[0]):
        apart = shifts[1] - shifts[0]
        if all(min(np.hypot(*(apart - (k[1] - k[0]))), np.hypot(*(apart + k[1] - k[0]))) > _ALIKE for k in kept):
            kept.append(shifts)
        if len(kept) == _TRIED:
            break
    return kept


def _cost(away: Callable[[Floats], Floats], shifts: Floats) -> float:
    return float(np.minimum(np.abs(_off(away(shifts).min(axis=0))[0]), _CAP).mean())


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
