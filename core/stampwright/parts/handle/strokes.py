"""Strokes: a turned form as a short list of mouldings, each drawn from where the last one ended."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ...plane.circles import chords_in
from .sizes import Sizes

Moulding = Literal["line", "ovolo", "cove", "ogee"]
"""The joiner's words: an ovolo leaves upright and arrives level (a quarter round); a cove leaves level and arrives
upright (a hollow); an ogee leaves and arrives upright, an S between."""

FACET_CHORD = 0.015
"""How far a facet of a moulding may stray from the true curve, mm; far below what a nozzle shows."""

STEEPEST_MOULDING = 43.0
"""Most that a form's own flanks lean out from the vertical, degrees; two under the 45 that prints unsupported."""


@dataclass(frozen=True, kw_only=True)
class ProfileStroke:
    """One moulding up to an edge.

    The edge lies at ``foot``, ``neck`` and ``grip`` shares of those half widths plus ``out`` mm, and at ``height`` mm;
    ``roundness`` 0 keeps the base's own outline there, 1 makes it an ellipse. Widths are shares so that one list of
    strokes serves both ways across a handle that is longer than wide.
    """

    height: float
    foot: float = 0.0
    neck: float = 0.0
    grip: float = 0.0
    out: float = 0.0
    roundness: float = 0.0
    moulding: Moulding = "line"

    @property
    def edge(self) -> NDArray[np.float64]:
        """(5,) shares of foot, neck and grip, mm outwards, roundness."""
        return np.array([self.foot, self.neck, self.grip, self.out, self.roundness])


@dataclass(frozen=True, eq=False)
class Sections:
    """Levels of a form from the foot up: (k,) height, half widths along and across, mm, and roundness."""

    height: NDArray[np.float64]
    along: NDArray[np.float64]
    across: NDArray[np.float64]
    roundness: NDArray[np.float64]


def draw(strokes: Sequence[ProfileStroke], sizes: Sizes) -> Sections:
    """Draw the strokes for a handle of these sizes, curves true to the facets' chord."""
    along = np.array([sizes.foot[0], sizes.neck[0], sizes.grip[0], 1.0])
    across = np.array([sizes.foot[1], sizes.neck[1], sizes.grip[1], 1.0])
    edges, heights = [strokes[0].edge], [strokes[0].height]
    for before, stroke in pairwise(strokes):
        turned = stroke.edge - before.edge
        reach = max(abs(turned[:4] @ along), abs(turned[:4] @ across))
        out, up = _moulded(stroke.moulding, reach, stroke.height - before.height)
        edges.extend(before.edge + turned * share for share in out)
        heights.extend(before.height + (stroke.height - before.height) * up)
    drawn = np.array(edges)
    return Sections(np.array(heights), drawn[:, :4] @ along, drawn[:, :4] @ across, drawn[:, 4])


def ogee_rise(reach: float, *, lean: float = STEEPEST_MOULDING) -> float:
    """Return the height over which an ogee moves out by ``reach`` mm and leans ``lean`` degrees at most.

    Two equal-angled circular arcs: rise = reach / tan(lean / 2).

    >>> round(ogee_rise(1.0, lean=45.0), 6)
    2.414214
    """
    return reach / math.tan(math.radians(lean) / 2)


def _moulded(moulding: Moulding, reach: float, rise: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the moulding's course as shares (0, 1] of the way out and of the way up."""
    if moulding == "line" or reach == 0 or rise == 0:
        return np.array([1.0]), np.array([1.0])
    if moulding == "ogee":
        return _ogee(reach, rise)
    angle = np.linspace(0, np.pi / 2, _steps(np.pi / 2, max(reach, rise)) + 1)[1:]
    if moulding == "ovolo":
        return 1 - np.cos(angle), np.sin(angle)
    return np.sin(angle), 1 - np.cos(angle)


def _ogee(reach: float, rise: float, hollow: float = 0.38) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    # The hollow takes less of the way than the swell above it, as a turner cuts it: a full belly over a slim neck.
    lean = min(2 * math.atan(reach / rise), math.radians(60))
    radius = rise / math.sin(lean)
    lower = np.linspace(0, lean, _steps(lean, hollow * radius) + 1)[1:]
    upper = np.linspace(lean, 0, _steps(lean, (1 - hollow) * radius) + 1)[1:]
    deepest = 1 - math.cos(lean)
    out = np.concatenate((hollow * (1 - np.cos(lower)), deepest - (1 - hollow) * (1 - np.cos(upper)))) / deepest
    up = np.concatenate((hollow * np.sin(lower), math.sin(lean) - (1 - hollow) * np.sin(upper))) / math.sin(lean)
    return out, up


def _steps(angle: float, radius: float) -> int:
    if radius <= 2 * FACET_CHORD:
        return 1
    return chords_in(angle, radius, FACET_CHORD)
