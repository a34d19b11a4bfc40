"""An impression as data."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..findings import Finding


@dataclass(frozen=True, eq=False)
class Impression:
    """What a stamp leaves on paper.

    ``outlines``: solid ink, valid MultiPolygon, mm, paper frame with the origin of the stamp (the base's middle).
    ``picture``: (rows, columns) uint8, 0 full ink to 255 bare paper, top row first. ``dpi``: its resolution.
    ``corner``: lower-left corner of the picture in the paper frame, mm.
    """

    outlines: MultiPolygon
    picture: NDArray[np.uint8]
    dpi: float
    corner: tuple[float, float]
    findings: tuple[Finding, ...] = ()
