"""The face behind a print: how it tilted and how far it is bowed, by inverting the press."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from ...job import Job
from ...job.heights import snap_heights
from ...press import HAND_FORCES, HeightMap, Rig, set_up, stated_conditions
from ...press.faces.printed import face_of
from ...workshop import make_die
from ..testdie import artwork_of_chart, chart_of
from .fitting import ToneFit, UnevenFit
from .tones import CELL, FaceTones

Floats = NDArray[np.float64]

SURELY = 5.0
"""Standard errors to either side of a figure, within which its true value lies in every case."""

LIKELY = 3.0
"""Standard errors to either side of a figure that is told, within which its true value lies all but always."""

WELL = 0.2
"""Share of a figure, to which it must be known for a print to tell it."""

MOST_PUSH = max(force.newtons for force in HAND_FORCES)
"""What somebody pushed with at most who weighed nothing, N."""

_DPI = 25.4 / CELL  # of the face that is set up: a cell is a pixel of it
_FULL = 0.97  # of the darkest: an even print is nowhere lighter over a whole block of places
_BLOCK = 5.0  # side of those places, mm
_MODEL = 0.03  # of every figure: what cells, springs and the scan's own blur round off
_LEAST_DARK = 0.1  # of the paper; lighter is no ink
_STARTS = (0.0, 0.005, -0.005, 0.1, -0.1)  # bow that the search begins at, mm
_SAME = 1e-3  # of what is left unexplained, by which two fits are one
_FAR_WORSE = 4.0  # times as much left unexplained: no ink is so uneven
_IMPOSSIBLE = 4.0  # times the most push: even ink that prints solid from a quarter of what was assumed takes less
_CORNERS = 12  # places of a face along each side, that its most bow is reckoned from


@dataclass(frozen=True)
class Fitted:
    """A figure that was fitted: its value and its standard error, and its ``limit``, either way, by the push alone.

    Where a print says nothing of it, the value is 0 and the error infinite, and what is known is the limit.
    """

    value: float
    error: float
    limit: float = math.inf

    @property
    def told(self) -> bool:
        """Whether the print tells it: to a fifth."""
        return LIKELY * self.error <= WELL * abs(self.value)

    @property
    def most(self) -> float:
        """The most that it surely is, either way."""
        return self.most_if(1.0)

    def most_if(self, factor: float) -> float:
        """Return the most that it surely is if what it was fitted by is so many times as large as was assumed."""
        return min(self.limit, (abs(self.value) + SURELY * self.error) * factor)

    def times(self, factor: float, doubt: float = 0.0) -> Fitted:
        """Return it in another unit; ``doubt``: standard error of the factor, as a share."""
        return Fitted(self.value * factor, abs(factor) * math.hypot(self.error, doubt * self.value), self.limit)


@dataclass(frozen=True)
class FaceShape:
    """A face as its print shows it.

    ``bow``: mm, middle over edge; ``rise``: of the face towards the paper, right and up, mm over the whole side;
    ``off_centre``: where the push must have passed, mm; None of an even print, which says nothing of it.
    ``solid_from``: the pressure that prints solid, MPa, fitted where the push was weighed, otherwise as assumed, and
    then ``assumed``: the lengths rise and fall with it, but for their limits. ``error``: what is left unexplained, of
    the darkness.
    """

    bow: Fitted
    rise: tuple[Fitted, Fitted]
    off_centre: tuple[float, float] | None
    solid_from: Fitted
    assumed: bool
    error: float

    @property
    def seen(self) -> bool:
        """Whether the print had light places to tell it by."""
        return self.off_centre is not None


def set_up_face(job: Job) -> Rig:
    """Return the flat face of a test die set up to be pressed under a job; raises what building a die raises."""
    chart = chart_of(job)
    solid = make_die(job, artwork_of_chart(chart))
    face = face_of(solid, dpi=_DPI, dressing=snap_heights(job).dressing)
    flat = replace(face, height=np.where(face.face, 0.0, face.height).astype(np.float32))
    return set_up(flat, stated_conditions(job))


def fit_face(tones: FaceTones, rig: Rig, solid_from: float, *, push: float | None = None) -> FaceShape | None:
    """Return how a face tilted and is bowed, from how dark it printed from place to place.

    Every place is on the spring that the press gives it; what comes of the pressure there is ink after W. C. Walker and
    J. M. Fetsko (1955; from memory), as in the press itself. ``solid_from``: MPa, as the job has it; ``push``: N, where
    it was weighed. Of a print that is dark all over only the most is told that bow and rise can be: what so strong a
    push still pressed against the paper everywhere. Returns None where hardly anything printed.
    """
    dark = float(np.percentile(tones.darkness, 98))
    if dark < _LEAST_DARK:
        return None
    limits = _most_under(rig, MOST_PUSH if push is None else push)
    if _is_even(tones):
        return _even(limits, solid_from)
    fall, half = _fall(rig.face, tones.places)
    problem = ToneFit(tones, _springs_at(rig, tones.places), fall, half, solid_from=solid_from, dark=dark)
    best = _best_fit(problem, rig)
    if best is None:
        return _even(limits, solid_from)
    figures, covariance, _ = best
    errors = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    pressure = _pressure_over(rig, figures)
    total = float(pressure.sum())
    factor, doubt, threshold = 1.0, 0.0, Fitted(solid_from, 0.0)
    if push is not None and total > 0:
        # Pressure as a share of what prints solid is seen; the push says how much that is.
        factor = push / (total * rig.places.area)
        doubt = float(errors[0] / max(abs(figures[0]), 1e-9))
        threshold = Fitted(solid_from, solid_from * doubt).times(factor)
    approach = [
        Fitted(value, math.hypot(error, _MODEL * value))
        for value, error in zip(figures.tolist(), errors.tolist(), strict=True)
    ]
    bow = replace(approach[3].times(factor, doubt), limit=limits[0])
    right, up = (
        replace(each.times(2.0 * factor, doubt), limit=limit)
        for each, limit in zip(approach[1:3], limits[1:], strict=True)
    )
    centre = [float((pressure * axis).sum() / max(total, 1e-12)) for axis in (rig.places.x, rig.places.y)]
    return FaceShape(
        bow, (right, up), (centre[0], centre[1]), threshold, assumed=push is None, error=problem.left(figures)
    )


def _even(limits: tuple[float, float, float], solid_from: float) -> FaceShape:
    """Return what an even print says of its face: no more than how far the push can have pressed it flat."""
    bow, right, up = (Fitted(0.0, math.inf, limit) for limit in limits)
    return FaceShape(bow, (right, up), None, Fitted(solid_from, 0.0), assumed=True, error=0.0)


def _best_fit(problem: ToneFit, rig: Rig) -> UnevenFit | None:
    """Return the likeliest fit from any start, with ink that lies unevenly.

    None where no push that anybody has is among them: what is solid all over is as well explained by any greater one.
    """
    found: list[tuple[Floats, float]] = []
    for bow in _STARTS:
        figures, cost = problem.solved(bow)
        if not any(abs(cost - other) < _SAME * other for _, other in found):
            found.append((figures, cost))
    least = min(cost for _, cost in found)
    settled = [problem.settled(figures) for figures, cost in found if cost <= _FAR_WORSE * least]
    pushes = [float(_pressure_over(rig, each.figures).sum()) * rig.places.area for each in settled]
    possible = [each for each, push in zip(settled, pushes, strict=True) if push < _IMPOSSIBLE * MOST_PUSH]
    return min(possible, key=lambda each: each.cost, default=None)


def _is_even(tones: FaceTones) -> bool:
    """Say whether a print is nowhere lighter, over some millimetres, than the darkest."""
    blocks = np.unique(np.floor(tones.places / _BLOCK).astype(np.int64), axis=0, return_inverse=True)[1].reshape(-1)
    looks = np.bincount(blocks, tones.looks)
    means = np.bincount(blocks, tones.looks * tones.darkness)[looks > 40] / looks[looks > 40]
    return bool(means.min() > _FULL * np.percentile(means, 90)) if len(means) else True


def _most_under(rig: Rig, push: float) -> tuple[float, float, float]:
    """Return how much bow, and rise right and up over the side, a push can press flat everywhere at the most, mm.

    Whatever the bow, the mean approach is what the push gives; places that touch have none below 0. That is a
    polytope of three figures, and the most of each lies at one of its corners.
    """
    on_face = rig.face.face.reshape(-1)[rig.pixels]
    places = np.stack((rig.places.x[on_face], rig.places.y[on_face]), axis=-1)
    fall, half = _fall(rig.face, places)
    weights = 1.0 / rig.springs[on_face]
    mean = push / (float(weights.sum()) * rig.places.area)
    ways = np.column_stack((places / half, -fall))
    ways -= np.average(ways, axis=0, weights=weights)
    # One place of every part of the face, as far out as it goes.
    parts = np.round(places / half * _CORNERS / 4.0).astype(np.int64)
    order = np.argsort(-fall, kind="stable")
    ways = ways[order[np.unique(parts[order], axis=0, return_index=True)[1]]]
    threes = np.array(list(combinations(range(len(ways)), 3)))
    systems = ways[threes]
    systems = systems[np.abs(np.linalg.det(systems)) > 1e-4]
    corners = np.linalg.solve(systems, np.full((len(systems), 3, 1), -mean))[..., 0]
    kept = corners[(corners @ ways.T).min(axis=1) >= -mean * (1.0 + 1e-6)]
    if not len(kept):
        return math.inf, math.inf, math.inf
    right, up, bow = np.abs(kept).max(axis=0).tolist()
    return bow, 2.0 * right, 2.0 * up


def _springs_at(rig: Rig, places: Floats) -> Floats:
    """Return how the face gives way in the cells of places, (n, 2) mm; the mean over the cell's pixels, mm/MPa."""
    on_face = rig.face.face.reshape(-1)[rig.pixels]
    face = np.stack((rig.places.x[on_face], rig.places.y[on_face]), axis=-1)
    reach = int(np.ceil(max(np.abs(face).max(), np.abs(places).max()) / CELL)) + 1

    def cell(at: Floats) -> NDArray[np.int64]:
        column, row = (np.floor(at / CELL).astype(np.int64) + reach).T
        return np.asarray(row * 2 * reach + column)

    count = np.bincount(cell(face), minlength=4 * reach**2)
    stiffness = np.bincount(cell(face), 1.0 / rig.springs[on_face], minlength=4 * reach**2)
    found = np.divide(count, stiffness, out=np.zeros(len(count)), where=count > 0)[cell(places)]
    return np.where(found > 0.0, found, float(np.median(rig.springs[on_face])))


def _fall(face: HeightMap, places: Floats) -> tuple[Floats, float]:
    """Return how far places lie below the middle of a face bowed by 1 mm, (n,), and half of the face's side, mm."""
    middle, farthest, half = _span(face)
    return ((places - middle) ** 2).sum(axis=1) / farthest, half


def _span(face: HeightMap) -> tuple[Floats, float, float]:
    """Return the middle of what is to print, mm, the square of its farthest place's distance, and half its side."""
    rows, columns = np.nonzero(face.face)
    x, y = face.x[columns], face.y[rows]
    middle = np.array([(x.min() + x.max()) / 2, (y.min() + y.max()) / 2])
    farthest = float(((x - middle[0]) ** 2 + (y - middle[1]) ** 2).max())
    return middle, farthest, float(max(np.ptp(x), np.ptp(y))) / 2


def _pressure_over(rig: Rig, figures: Floats) -> Floats:
    """Return the pressure at every place of the rig's face under fitted figures, MPa; 0 off the face."""
    middle, farthest, half = _span(rig.face)
    x, y = rig.places.x, rig.places.y
    fall = ((x - middle[0]) ** 2 + (y - middle[1]) ** 2) / farthest
    come = figures[0] + (figures[1] * x + figures[2] * y) / half - figures[3] * fall
    on_face = rig.face.face.reshape(-1)[rig.pixels]
    return np.where(on_face, np.maximum(come, 0.0) / rig.springs, 0.0)
