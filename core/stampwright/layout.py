"""Layout: the base's outline, and the artwork at its real size in the middle of it."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import MultiPolygon, Polygon

from .artwork import Artwork
from .findings import Finding
from .job import Job


@dataclass(frozen=True)
class Layout:
    """Artwork placed on its base; paper frame, mm, origin in the middle of the base.

    ``matrix`` takes the artwork's page to this frame, in shapely's six-number affine form.
    """

    inked: MultiPolygon
    base: Polygon
    scale: float
    matrix: tuple[float, float, float, float, float, float]
    findings: tuple[Finding, ...] = ()


def lay_out(job: Job, artwork: Artwork) -> Layout:
    """Size, turn and centre the artwork on the job's base."""
    raise NotImplementedError
