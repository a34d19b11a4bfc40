"""The face behind a print: how it tilted and how far it is bowed, by inverting the press."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ...job import Job
from ...job.heights import snap_heights
from ...press import HeightMap, Rig, set_up, stated_conditions
from ...press.faces.printed import face_of
from ...press.inking.ink import SOLID
from ...workshop import make_die
from ..testdie import artwork_of_chart, chart_of
from .reading import FaceTones

Floats = NDArray[np.float64]

_DPI = 120.0  # of the face that is set up
_ROUNDS = 60
_FULL = 0.93  # of the darkest: what is darker says no more than that there was enough pressure
_LEAST_SEEN = 12  # places lighter than that, without which nothing can be fitted
_STARTS = (0.0, 0.05, -0.05, 0.2, -0.2)  # bow that the search begins at, mm
_ALIKE = 1.5  # times as large as errors are of places that all err by themselves: neighbours err alike (measured)
_BREAKS = -math.log(1.0 - SOLID)


@dataclass(frozen=True)
class Fitted:
    """A figure that was fitted: its value and its standard error."""

    value: float
    error: float

    def times(self, factor: float) -> Fitted:
        """Return it in another unit."""
        return Fitted(self.value * factor, self.error * abs(factor))


@dataclass(frozen=True)
class FaceShape:
    """A face as its print shows it.

    ``bow``: mm, middle over edge; ``rise``: of the face towards the paper, right and up, mm over the whole side;
    ``off_centre``: where the push must have passed, mm; ``solid_from``: the pressure that prints solid, MPa, fitted
    where the push was weighed, otherwise as assumed, and then ``assumed``: the lengths rise and fall with it.
    ``error``: what is left unexplained, of the darkness.
    """

    bow: Fitted
    rise: tuple[Fitted, Fitted]
    off_centre: tuple[float, float]
    solid_from: Fitted
    assumed: bool
    error: float


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
    it was weighed. Returns None where all printed alike: then nothing is known but that the push was enough.
    """
    if not shows_shape(tones):
        return None
    dark = _darkest(tones)
    springs = _springs_at(rig, tones.places)
    problem = _Problem(tones, springs, *_fall(rig.face, tones.places), solid_from=solid_from, dark=dark)
    fits = [problem.solved(bow) for bow in _STARTS]
    figures, error = min(fits, key=lambda each: each[1])
    errors = problem.errors(figures, error)
    factor, fitted = 1.0, Fitted(solid_from, 0.0)
    pressure = _pressure_over(rig, figures)
    force = float(pressure.sum()) * rig.places.area
    if push is not None and force > 0:
        # Pressure as a share of what prints solid is seen; the push says how much that is.
        factor = push / force
        fitted = Fitted(solid_from * factor, solid_from * factor * float(errors[0] / max(abs(figures[0]), 1e-9)))
    side = problem.side
    x = float((pressure * rig.places.x).sum() / max(pressure.sum(), 1e-12))
    y = float((pressure * rig.places.y).sum() / max(pressure.sum(), 1e-12))
    return (
        FaceShape(
            bow=Fitted(float(figures[3]), float(errors[3])).times(factor),
            rise=(
                Fitted(float(figures[1]), float(errors[1])).times(2 * factor),
                Fitted(float(figures[2]), float(errors[2])).times(2 * factor),
            ),
            off_centre=(x, y),
            solid_from=fitted,
            assumed=push is None,
            error=error,
        )
        if side > 0
        else None
    )


def shows_shape(tones: FaceTones) -> bool:
    """Say whether a print has light places enough to tell the shape of the face behind it."""
    dark = _darkest(tones)
    return dark >= 0.1 and int(np.count_nonzero(tones.darkness < _FULL * dark)) >= _LEAST_SEEN


def _darkest(tones: FaceTones) -> float:
    return float(np.percentile(tones.darkness, 98))


def _springs_at(rig: Rig, places: Floats) -> Floats:
    """Return how the face gives way at places, (n, 2) mm; that of the nearest pixel of the face, mm/MPa."""
    face = rig.face
    on_face = face.face.reshape(-1)[rig.pixels]
    x, y = rig.places.x[on_face], rig.places.y[on_face]
    springs = rig.springs[on_face]
    found = np.empty(len(places))
    for start in range(0, len(places), 256):
        part = places[start : start + 256]
        nearest = ((x[None, :] - part[:, :1]) ** 2 + (y[None, :] - part[:, 1:]) ** 2).argmin(axis=1)
        found[start : start + 256] = springs[nearest]
    return found


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


class _Problem:
    """Five figures to be fitted: approach, rises right and up over half the side, bow, all mm, and the darkest tone."""

    def __init__(
        self, tones: FaceTones, springs: Floats, fall: Floats, half: float, *, solid_from: float, dark: float
    ) -> None:
        self._seen = tones.darkness
        self._springs = springs * solid_from / _BREAKS
        self._across = tones.places / half
        self._fall = fall
        self._dark = dark
        self.side = 2.0 * half

    def solved(self, bow: float) -> tuple[Floats, float]:
        """Return the figures that fit best from a first guess of the bow, and the error left (Levenberg-Marquardt)."""
        # As much approach as the middle tone shows.
        share = np.clip(np.median(self._seen) / (1.02 * self._dark), 0.05, 0.97)
        approach = float(np.median(self._springs) * -math.log(1.0 - share)) + max(bow, 0.0) / 2
        figures = np.array([approach, 0.0, 0.0, bow, self._dark])
        damping, off = 1e-2, self._off(figures)
        for _ in range(_ROUNDS):
            slope = self._slope(figures, off)
            square = slope.T @ slope
            step = np.linalg.lstsq(square + damping * np.diag(np.diag(square) + 1e-12), -slope.T @ off, rcond=None)[0]
            after = figures + step
            then = self._off(after)
            if float(then @ then) < float(off @ off):
                gain = 1.0 - float(then @ then) / float(off @ off)
                figures, off, damping = after, then, damping / 4
                if gain < 1e-7:
                    break
            else:
                damping *= 6
                if damping > 1e8:
                    break
        return figures, float(np.sqrt(np.mean(off[:-1] ** 2)))

    def errors(self, figures: Floats, error: float) -> Floats:
        """Return the standard errors of fitted figures."""
        slope = self._slope(figures, self._off(figures))
        return np.asarray(_ALIKE * error * np.sqrt(np.maximum(np.diag(np.linalg.pinv(slope.T @ slope)), 0.0)))

    def _off(self, figures: Floats) -> Floats:
        come = figures[0] + self._across @ figures[1:3] - figures[3] * self._fall
        tone = figures[4] * (1.0 - np.exp(-np.maximum(come, 0.0) / self._springs))
        # How dark solid ink is, the darkest places say already, to some hundredths.
        held = np.sqrt(len(self._seen)) * 0.03 * (figures[4] - self._dark)
        return np.append(tone - self._seen, held)

    def _slope(self, figures: Floats, off: Floats) -> Floats:
        columns = []
        for index in range(len(figures)):
            moved = figures.copy()
            moved[index] += 1e-6
            columns.append((self._off(moved) - off) / 1e-6)
        return np.stack(columns, axis=-1)
