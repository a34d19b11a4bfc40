"""The quick contact solver: every place of the face stands on its own spring."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .push import Held, Places, Push, check_line, directions, held, resultant, set_back
from .sums import added, carried, inner

Floats = NDArray[np.float64]

_MOST_ROUNDS = 60
_CLOSE = 1e-7  # share of the force; closer, rounding decides whether a step is worth taking
_ASTRAY = 1e-4  # share of the force; more than rounding leaves
_LEAST_HELD = 1e-12  # of what resists most; less is rounding
_SQUARE = np.array([(0, 1, 2), (1, 3, 4), (2, 4, 5)])  # where each pair's product stands in a matrix
_LEAST_SHARE = 1e-3  # of a step; less than this of a Newton step means that rounding has the last word


@dataclass(frozen=True, eq=False)
class _State:
    """A motion (k,); how deep it presses each place in, mm, and with what force, N: (n,); and the energy, N mm."""

    motion: Floats
    deep: Floats
    load: Floats
    energy: float


@dataclass(frozen=True, eq=False)
class Springs:
    """A face on an elastic foundation, to be pressed over and over: what hangs on no push is reckoned once.

    ``compliance``: (n,) float, mm/MPa, of the spring under each place.
    """

    places: Places
    compliance: Floats

    @cached_property
    def stiffness(self) -> Floats:
        """Push that each spring takes, (n,) N/mm."""
        return np.asarray(self.places.area / self.compliance)

    def press(self, push: Push, start: Floats | None = None) -> Held:
        """Press the face (E. Winkler 1867; K. L. Johnson, "Contact Mechanics" (1985), section 4.3).

        ``start``: approach and slopes, (3,), near which the answer is expected. Raises :class:`PressError` when the
        push would tip the stamp.

        The energy is convex and piecewise quadratic in approach and slopes, so Newton's method with a guarded step ends
        after a few rounds at the one answer.
        """
        places = self.places
        check_line(places, push)
        free = directions(places, push)
        paired = free if push.at is None else places.tilts_paired
        span = np.ones(len(free)) if push.at is None else places.span
        height, target = set_back(places, push), resultant(push)
        if not len(free):
            return held(places, push, np.maximum(height, 0.0) / self.compliance, np.empty(0), rounds=0, error=0.0)

        def seen(motion: Floats) -> _State:
            """Return a motion with what it presses in, where the face is pressed, and the energy."""
            deep = carried(motion, free)
            deep += height
            np.maximum(deep, 0.0, out=deep)
            load = self.stiffness * deep
            return _State(motion, deep, load, 0.5 * inner(load, deep) - float(target @ motion))

        # All springs pressed is one linear step; but no further back than first touch, where none would be.
        motion = start[: len(free)] if start is not None else self._all_pressed(height, free, target)
        motion = motion + np.eye(len(free))[0] * max(0.0, 1e-3 - float((height + carried(motion, free)).max()))
        now = seen(motion)
        rounds, error = 0, 1.0
        while rounds < _MOST_ROUNDS:
            lacking = target - added(free, now.load)
            error = float(np.abs(lacking / span).max() / target[0])
            if error <= _CLOSE:
                break
            after = _guarded(seen, now, _step(self._held_by(paired, now.deep > 0.0), lacking))
            if after is None:
                break
            now = after
            rounds += 1
        if error > _ASTRAY and start is not None:
            # From a start that touches in next to nothing there is no way on.
            return self.press(push)
        return held(places, push, now.deep / self.compliance, now.motion, rounds=rounds, error=error)

    @cached_property
    def _held_by_all(self) -> Floats:
        return added(self.places.tilts_paired, self.stiffness)

    def _held_by(self, paired: Floats, pressed: NDArray[np.bool_]) -> Floats:
        """Return what the springs that are pressed, (n,), hold against each pair of motions, (1,) or (6,)."""
        off = np.flatnonzero(~pressed)
        if 4 * len(off) > len(pressed):
            return added(paired, self.stiffness * pressed)
        # Mostly nearly all are: the few that are not are taken off the sum of all.
        return self._held_by_all[: len(paired)] - added(paired[:, off], self.stiffness[off])

    def _all_pressed(self, height: Floats, free: Floats, target: Floats) -> Floats:
        held_by = self._held_by_all[:1] if len(free) == 1 else self._held_by_all
        return _step(held_by, target - added(free, self.stiffness * height))


def press_on_springs(places: Places, compliance: Floats, push: Push) -> Held:
    """Press a face on springs once; see :meth:`Springs.press`."""
    return Springs(places, compliance).press(push)


def _step(held_by: Floats, lacking: Floats) -> Floats:
    """Return the step, (k,), that gives springs what they lack; ``held_by``: what they hold against each pair, (6,)."""
    if len(lacking) == 1:
        return lacking / held_by if held_by[0] > 0.0 else np.zeros(1)
    values, ways = np.linalg.eigh(held_by[_SQUARE])
    # A face that touches along a line resists no turning about it: the least turn that balances is taken.
    along = np.divide(ways.T @ lacking, values, out=np.zeros(3), where=values > _LEAST_HELD * values[-1])
    return np.asarray(ways @ along)


def _guarded(seen: Callable[[Floats], _State], now: _State, step: Floats) -> _State | None:
    """Return the state after as much of the step as lowers the energy; None when none of it does."""
    share = 1.0
    while share > _LEAST_SHARE:
        after = seen(now.motion + share * step)
        if after.energy < now.energy:
            return after
        share /= 2.0
    return None
