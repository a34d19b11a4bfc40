"""The cushion: a soft sheet between backing and die, cut to the die's outline."""

from __future__ import annotations

from shapely.geometry import Polygon

from ..job.sections.parts import CushionSection
from ..plane.frames import paper_to_die
from ..solids import Solid, extrude


def build_cushion(base: Polygon, cushion: CushionSection) -> Solid | None:
    """Return the sheet in the die frame, lying on z = 0, or None when it has no thickness; it is cut, never printed.

    ``base``: the die's outline, paper frame, mm. A sheet is as thick as it is sold, so its thickness is not snapped to
    layers.
    """
    if cushion.thickness == 0:
        return None
    return extrude(paper_to_die(Polygon(base.exterior)), 0.0, cushion.thickness, name="cushion")
