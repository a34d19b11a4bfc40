"""In what scale of brightness a picture was blurred, which decides where half-way from paper to ink is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .scans import Scan

Floats = NDArray[np.float64]

AS_WRITTEN, AS_LIGHT = 1.0, 2.2
"""Powers that take a file's brightness to the scale of the blur: the file's own, and light (IEC 61966-2-1, about)."""

_EVEN, _ABOUT_EVEN = 0.003, 0.006  # of its step, that an edge may differ from itself turned about its middle and be
# evenly blurred: of many edges in a scan, and of few, or in a photograph, whose light and paper are less even
_QUITE_EVEN = 0.002  # of its step: of black ink, such an edge is about as even in the other scale, too
_EVENER = 0.6  # times as uneven as in the other scale, at the most, where one of two is to be the right one
_CLEAN = 0.01  # of its step, that an even edge is off ink and paper a little away from it
_BESIDE = 1.2  # widths of the edge: how far away that is
_WHITE = 254  # paper that is as bright is cut off there, and so are its edges


class Encoding(NamedTuple):
    """``power``: takes brightness to the scale in which it was blurred; ``sure``: whether the picture shows that."""

    power: float
    sure: bool


def encoding_of(scan: Scan, steps: Mapping[float, tuple[Floats, Floats]], *, few: bool = False) -> Encoding:
    """Return the scale in which a picture was blurred.

    ``steps``: the mean edge from ink (0) to paper (1), as offsets and levels, (n,) each, in both scales; ``few``:
    whether of few edges. Lenses blur light, and files hold its root, so that a blurred edge looks even only when
    brought back to light. A picture that was blurred as it is written, by a program, has even edges as it is. Noise,
    creep and sharpening leave edges of both uneven: of many, the evener one is the likelier, and it is not sure; few
    are then taken for a lens's.
    """
    if scan.camera:
        return Encoding(AS_LIGHT, True)
    written, light = (lopsidedness(*steps[power]) for power in (AS_WRITTEN, AS_LIGHT))
    is_cut_off = float(np.percentile(scan.grey[::7, ::7], 70)) >= _WHITE
    even = _ABOUT_EVEN if few or scan.dpi is None else _EVEN
    # Of few edges, which cross the pixels at few phases, neither scale is even enough to be set against the other.
    is_even = written < (even if few else max(min(even, _EVENER * light), _QUITE_EVEN))
    if not is_cut_off and is_even and _is_clean(*steps[AS_WRITTEN]):
        # A lens's picture with the file's own curve on it may look so, too; a scanner's does not.
        return Encoding(AS_WRITTEN, scan.dpi is not None)
    if written < light and not few:
        return Encoding(AS_WRITTEN, False)
    return Encoding(AS_LIGHT, not is_cut_off and light < _EVENER * written)


def _is_clean(grid: Floats, response: Floats) -> bool:
    away = _BESIDE * tenth_to_nine(grid, response)
    ink, paper = (float(np.interp(at, grid, response)) for at in (-away, away))
    return abs(ink) < _CLEAN and abs(paper - 1.0) < _CLEAN


def lopsidedness(grid: Floats, response: Floats) -> float:
    """Return how much an edge differs from itself turned about its half-way point, as a share of its step.

    Ink is often darker, or lighter, beside an edge than farther in: only the step itself counts, between the levels
    right beside it.
    """
    width = max(tenth_to_nine(grid, response), 2.0 * (grid[1] - grid[0]))
    near = (np.abs(grid) > 0.9 * width) & (np.abs(grid) < 1.6 * width)
    if not (near & (grid < 0)).any():
        near = np.abs(grid) > 0.8 * grid[-1]
    ink, paper = (float(np.mean(response[near & side])) for side in (grid < 0, grid > 0))
    step = (response - ink) / max(paper - ink, 1e-6)
    # About its own half-way point between those levels.
    middle = float(np.interp(0.5, np.maximum.accumulate(step), grid))
    away = np.linspace(0.0, 0.9 * width, 20)
    ahead, behind = (np.interp(middle + sign * away, grid, step) for sign in (1.0, -1.0))
    return float(np.abs(ahead + behind - 1.0).mean())


def tenth_to_nine(grid: Floats, response: Floats) -> float:
    """Return how far an edge takes from a tenth to nine tenths of its step."""
    climbing = np.maximum.accumulate(response)
    low, high = (float(np.interp(level, climbing, grid)) for level in (0.1, 0.9))
    return high - low
