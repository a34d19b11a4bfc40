"""The cushion: a soft sheet between backing and die, cut to the die's outline."""

from __future__ import annotations

from shapely.geometry import Polygon

from ..job import Job
from ..plane.frames import paper_to_die
from ..solids import Solid, extrude


def build_cushion(job: Job, base: Polygon) -> Solid | None:
    """Return the sheet in the die frame, lying on z = 0, or None when the job has none; it is cut, never printed.

    ``base``: the die's outline, paper frame, mm. A sheet is as thick as it is sold, so its thickness is not snapped to
    layers.
    """
    if job.cushion.thickness == 0:
        return None
    return extrude(paper_to_die(Polygon(base.exterior)), 0.0, job.cushion.thickness, name="cushion")
