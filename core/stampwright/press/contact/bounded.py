"""The full contact solver: every place of the face yields with its neighbours.

The conjugate gradients of I. A. Polonsky and L. M. Keer, "A numerical method for solving rough contact problems based
on the multi-level multi-summation and conjugate gradient techniques", Wear 231 (1999), 206, whose balance of force is
widened here to moments: where they take the mean off the gap and scale the pressure, a plane is taken off and the
pressure scaled by a plane.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...errors import PressError
from ...memory import Share
from .elastic import ElasticSurface
from .push import Held, Places, Push, check_line, directions, held, resultant, set_back
from .sums import added, carried, coupled, inner

Floats = NDArray[np.float64]
Indices = NDArray[np.intp]

MOST_ROUNDS = 500
_REFRESH = 12  # rounds after which displacement is reckoned anew, so that rounding does not pile up


@dataclass(frozen=True, eq=False)
class Bed:
    """What the face's places stand on: an elastic surface that joins them and a column of its own under each.

    ``places``: (n,) int, the flat pixel numbers of the places in the surface's maps; ``columns``: (n,) float, mm/MPa.
    """

    surface: ElasticSurface
    places: Indices
    columns: Floats

    def surface_under(self, pressure: Floats, at: Indices) -> Floats:
        """Return the surface's give as a flat map, mm, under ``pressure`` (m,) on the places numbered ``at`` (m,)."""
        spread = np.zeros(self.surface.shape, dtype=self.surface.spectrum.dtype)
        spread.reshape(-1)[self.places[at]] = pressure
        return np.asarray(self.surface.yield_to(spread).reshape(-1))

    def yield_to(self, pressure: Floats) -> Floats:
        """Return how far each place gives way, mm, under ``pressure``: (n,) float, MPa."""
        at = np.flatnonzero(pressure)
        give = self.surface_under(pressure[at], at)[self.places].astype(np.float64)
        give[at] += self.columns[at] * pressure[at]
        return give


def press_on_bed(
    places: Places,
    bed: Bed,
    push: Push,
    *,
    start: Floats | None = None,
    tolerance: float = 3e-4,
    progress: Share | None = None,
) -> Held:
    """Press a face on an elastic bed; pressure is nowhere below 0.

    ``start``: (n,) a first guess of the pressure, MPa. ``tolerance``: gaps under pressure, and overlaps beside it, that
    may be left, as a share of the mean give. Raises :class:`PressError` when the push would tip the stamp, or when the
    rounds run out.
    """
    check_line(places, push)
    free, target = directions(places, push), resultant(push) / places.area
    height = set_back(places, push)
    pressure = _balanced(_first_guess(height, bed, push) if start is None else np.maximum(start, 0.0), free, target)
    give = bed.yield_to(pressure)
    along = np.zeros_like(pressure)
    steepness_before, turned, fresh, first_error = 1.0, True, 0, 1.0
    for rounds in range(1, MOST_ROUNDS + 1):
        # Most places are out of touch most of the time; what concerns only the touching ones is done on them alone.
        touching = np.flatnonzero(pressure)
        motion, gap, slope = _gaps(give - height, free, touching)
        error = _error(pressure[touching], give[touching], slope, float(gap.min()))
        first_error = max(error, tolerance * 10.0) if rounds == 1 else first_error
        if progress is not None:
            progress(_share_done(error, first_error, tolerance))
        if error <= tolerance:
            # Steps without a transform let the balance drift by a hair.
            return held(places, push, _balanced(pressure, free, target), motion, rounds=rounds, error=error)
        steepness = inner(slope, slope)
        downhill, onward = _onward(slope, along[touching], 0.0 if turned else steepness / steepness_before)
        steepness_before = inner(downhill, downhill)
        pull = bed.surface_under(onward, touching)
        step = inner(downhill, onward) / _resistance(bed, pull, onward, touching, free if steepness > 0.0 else free[:0])
        along[:] = 0.0
        along[touching] = onward
        pressure, lifted, turned = _stepped(pressure, gap, touching, onward, step)
        if turned or lifted or fresh >= _REFRESH:
            pressure = _balanced(pressure, free, target)
            give, fresh = bed.yield_to(pressure), 0
        else:
            # The step keeps the balance by itself and no place came or went: the give follows without a transform.
            give -= step * (pull[bed.places] + bed.columns * along)
            fresh += 1
    raise _unsettled(error, tolerance)


def _unsettled(error: float, tolerance: float) -> PressError:
    return PressError(
        f"the contact did not settle in {MOST_ROUNDS} rounds (error {error:.1e}, sought {tolerance:.1e}); "
        "try a coarser resolution or the quick solver"
    )


def _gaps(apart: Floats, free: Floats, touching: Indices) -> tuple[Floats, Floats, Floats]:
    """Return the rigid motion that closes what is apart best, the gaps that it leaves elsewhere, and those in touch."""
    motion = _fit(apart[touching], free[:, touching])
    gap = apart - carried(motion, free)
    slope = gap[touching]
    gap[touching] = 0.0
    return motion, gap, slope


def _share_done(error: float, first_error: float, tolerance: float) -> float:
    """Return how far the error has come down from the first one, 0 to 1, by orders of magnitude."""
    shrunk = math.log(max(error, tolerance) / first_error) / math.log(tolerance / first_error)
    return min(1.0, max(0.0, shrunk))


def _onward(slope: Floats, before: Floats, kept: float) -> tuple[Floats, Floats]:
    """Return the way down, and the way to go: it keeps a share of the way gone before."""
    if inner(slope, slope) > 0.0:
        return slope, slope + kept * before
    # Too few places touch to be out of true: any push tells how far to go where others overlap.
    return np.ones_like(slope), np.ones_like(slope)


def _stepped(
    pressure: Floats, gap: Floats, touching: Indices, onward: Floats, step: float
) -> tuple[Floats, bool, bool]:
    """Return the pressure after a step, whether places lifted off, and whether others came into touch."""
    stepped = pressure.copy()
    moved = pressure[touching] - step * onward
    stepped[touching] = np.maximum(moved, 0.0)
    overlapping = np.flatnonzero(gap < 0.0)
    stepped[overlapping] = -step * gap[overlapping]
    return stepped, bool((moved < 0.0).any()), len(overlapping) > 0


def _resistance(bed: Bed, pull: Floats, onward: Floats, touching: Indices, free: Floats) -> float:
    """Return the work of a step against the bed, ``pull`` its surface's give; without what rigid motions give."""
    pulled = pull[bed.places[touching]] + bed.columns[touching] * onward
    return inner(onward, pulled - carried(_fit(pulled, free[:, touching]), free[:, touching]))


def _first_guess(height: Floats, bed: Bed, push: Push) -> Floats:
    """Return pressure that grows with height, of the size that does the most work against the bed."""
    dent = np.maximum(height - (0.0 if push.force is None else float(np.median(height))), 0.0)
    if not dent.any():
        return np.ones_like(height)
    return dent * (inner(dent, dent) / inner(dent, bed.yield_to(dent)))


def _balanced(pressure: Floats, free: Floats, target: Floats) -> Floats:
    """Return the pressure scaled by a level (or a plane) so that it adds up to the push."""
    if len(free) == 1 and pressure.any():
        return np.asarray(pressure * (target[0] / float(pressure.sum())))
    for _ in range(20 if len(free) else 0):
        carries = added(free, pressure)
        if np.allclose(carries, target, rtol=1e-10, atol=1e-10 * target[0]):
            break
        scale: Floats = np.asarray(np.linalg.lstsq(coupled(free, pressure), target, rcond=1e-14)[0])
        pressure = np.maximum(pressure * carried(scale, free), 0.0)
        if not pressure.any():
            pressure = np.ones_like(pressure)
    return pressure


def _fit(gap: Floats, free: Floats) -> Floats:
    """Return (k,) the rigid motion that closes the gaps best."""
    if not len(free):
        return np.empty(0)
    if len(free) == 1:
        return np.array([float(gap.mean())])
    return np.asarray(np.linalg.lstsq(coupled(free), added(free, gap), rcond=1e-14)[0])


def _error(pressure: Floats, give: Floats, gap: Floats, deepest: float) -> float:
    """Return gaps under pressure and the deepest overlap beside it, as a share of the mean give under pressure."""
    energy = inner(pressure, give)
    if energy <= 0.0:
        return 1.0
    return max(inner(pressure, np.abs(gap)), max(0.0, -deepest) * float(pressure.sum())) / energy
