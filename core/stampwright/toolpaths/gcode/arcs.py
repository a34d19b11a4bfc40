"""Arcs as chords."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

CHORD = 0.005
"""How far a chord may stray from its arc, mm."""

MOST_CHORDS = 2_000
"""Chords of one turn; more than that no machine's arc needs."""

MOST_TURNS = 100.0
"""Full circles that one arc goes before its end."""

OFF_CIRCLE = 0.1
"""How far an arc's end may lie off the circle that its start and centre give, mm: coordinates are rounded (assumed)."""

_Doubles = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Arcs:
    """Arcs, (n,) or (n, 2) each: ``start``, ``end``, ``centre``, mm; ``turn``: radians, counter-clockwise positive."""

    start: _Doubles
    end: _Doubles
    centre: _Doubles
    turn: _Doubles

    @property
    def radius(self) -> _Doubles:
        """Distance of start and centre, mm."""
        radius: _Doubles = np.hypot(*(self.start - self.centre).T)
        return radius


def place_arcs(
    start: _Doubles,
    end: _Doubles,
    offset: _Doubles,
    radius: _Doubles,
    clockwise: NDArray[np.bool_],
    *,
    turns: _Doubles | float = 0.0,
) -> Arcs:
    """Return arcs as drawn.

    ``start``, ``end``: (n, 2) mm. ``offset``: (n, 2) mm from the start to the centre, NaN where not told; if
    neither is, ``radius``, (n,) mm, tells the centre: positive for the shorter way, negative for the longer. An arc
    that ends where it begins is a full circle if its centre is told. ``turns``: full circles before its end, (n,).
    """
    told = np.asarray(~np.isnan(offset).all(axis=1))
    chord = end - start
    length = np.hypot(*chord.T)
    side = np.where((radius > 0) ^ clockwise, 1.0, -1.0)
    # A radius that rounding left shorter than half the chord is half the chord.
    rise = np.sqrt(np.maximum(radius**2 - (length / 2) ** 2, 0.0))
    with np.errstate(invalid="ignore", divide="ignore"):
        across = np.column_stack((-chord[:, 1], chord[:, 0])) / length[:, None]
        by_radius = start + chord / 2 + across * (side * rise)[:, None]
    centre = np.where(told[:, None], start + np.nan_to_num(offset), by_radius)
    from_, to = start - centre, end - centre
    turn = np.arctan2(to[:, 1], to[:, 0]) - np.arctan2(from_[:, 1], from_[:, 0])
    turn = np.where(clockwise, -((-turn) % (2 * np.pi)), turn % (2 * np.pi))
    whole = told & (length < 1e-9)
    turn = np.where(whole, np.where(clockwise, -2 * np.pi, 2 * np.pi), turn)
    turn = turn + np.where(clockwise, -2 * np.pi, 2 * np.pi) * np.floor(np.nan_to_num(turns))
    return Arcs(start, end, centre, turn)


def spoiled_arcs(arcs: Arcs) -> NDArray[np.bool_]:
    """Return which arcs are none: without a centre, or with an end that lies off their circle."""
    off = np.abs(np.hypot(*(arcs.end - arcs.centre).T) - arcs.radius)
    spoiled: NDArray[np.bool_] = ~(off <= OFF_CIRCLE) | ~np.isfinite(arcs.turn)
    return spoiled


def chords_of(arcs: Arcs) -> NDArray[np.int64]:
    """Return of how many chords each arc is made, (n,), so that none strays by more than :data:`CHORD`."""
    radius = np.maximum(arcs.radius, 1e-6)
    step = 2 * np.arccos(np.clip(1 - CHORD / radius, -1.0, 1.0))
    most = MOST_CHORDS * (1 + np.abs(arcs.turn) // (2 * np.pi))
    count: NDArray[np.int64] = np.clip(np.ceil(np.abs(arcs.turn) / step), 1, most).astype(np.int64)
    return count


def points_on(arcs: Arcs, arc: NDArray[np.int64], share: _Doubles) -> _Doubles:
    """Return points, (m, 2) mm, on arcs given by their number ``arc`` at a ``share`` of their way, (m,) each."""
    start = (arcs.start - arcs.centre)[arc]
    # The radius goes over from that of the start to that of the end, which rounding made another.
    first, last = arcs.radius[arc], np.hypot(*(arcs.end - arcs.centre)[arc].T)
    angle = np.arctan2(start[:, 1], start[:, 0]) + arcs.turn[arc] * share
    radius = first + (last - first) * share
    return np.asarray(arcs.centre[arc] + radius[:, None] * np.column_stack((np.cos(angle), np.sin(angle))))
