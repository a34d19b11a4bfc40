"""The ends of a roller's repeat: whether what runs over one of them goes on at the other."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..findings import Finding
from ..plane.overlays import all_joined, unshared
from ..plane.repeats import Repeat

ENDS_APART = "ends do not meet"

STEP = 0.2
"""How far the edge of a line may lie off its edge at the other end, mm: half a line of an ordinary nozzle."""


def about_ends(inked: MultiPolygon, repeat: Repeat) -> tuple[Finding, ...]:
    """Return the finding that ink which runs over both ends of a repeat does not meet itself there.

    ``inked``: mm, paper frame. Ink that comes to one end alone is drawn to stop there.
    """
    first, last = repeat.at_ends(inked)
    if not len(first) or not len(last):
        return ()
    apart = unshared(_spans(first), _spans(last))
    pieces = shapely.bounds(shapely.get_parts(apart))
    pieces = pieces[pieces[:, 2] - pieces[:, 0] > STEP]
    if not len(pieces):
        return ()
    steps = pieces[:, 2] - pieces[:, 0]
    half = repeat.length / 2.0
    places = [
        shapely.box(low, half - STEP, high, half + STEP)
        if repeat.upward
        else shapely.box(half - STEP, low, half + STEP, high)
        for low, high in pieces[:, [0, 2]]
    ]
    return (
        Finding(
            kind=ENDS_APART,
            severity="warns",
            stage="layout",
            message=f"Along {steps.sum():.2f} mm of the repeat's end ink comes upon paper of its beginning, or the "
            "other way round: unless it is drawn to stop there, a step shows wherever one repeat follows the other",
            remedy="Draw the pattern so that it goes on where it began, or set bend.repeat to the length of its own",
            place=shapely.MultiPolygon(places),
            measured=float(steps.max()),
            limit=STEP,
        ),
    )


def _spans(ends: NDArray[np.float64]) -> shapely.Geometry:
    return all_joined([shapely.box(low, 0.0, high, 1.0) for low, high in ends])
