"""Thinning: points left out of outlines that have more than are built, where no one can see it."""

from __future__ import annotations

from dataclasses import replace

import shapely

from ..errors import ArtworkError
from ..findings import Finding
from ..plane.regions import filled_parts
from .placing import Layout

THINNING = 0.002
"""How far an outline of too many points may move when it is thinned, mm: a twentieth of a pixel at 600 dpi."""

OUTLINES_THINNED = "outlines thinned"


def thin_outlines(layout: Layout, most: int) -> Layout:
    """Return the layout with no more than ``most`` outline points, and a finding when some were left out.

    No outline moves by more than :data:`THINNING`. Raises :class:`~stampwright.errors.ArtworkError` when that does not
    do.
    """
    count = shapely.get_num_coordinates(layout.inked)
    if count <= most:
        return layout
    inked = filled_parts(shapely.simplify(layout.inked, THINNING, preserve_topology=False))
    if not inked.is_valid:
        inked = filled_parts(shapely.simplify(layout.inked, THINNING))
    left = shapely.get_num_coordinates(inked)
    if left > most:
        raise ArtworkError(
            f"the artwork has {left:,} outline points even when thinned to within {THINNING:g} mm; {most:,} are built. "
            "Simplify it, or raise preflight.most_points and allow time and memory for it"
        )
    note = Finding(
        kind=OUTLINES_THINNED,
        severity="notes",
        stage="layout",
        message=f"Of {count:,} outline points {left:,} were kept; no outline moved by more than {THINNING:g} mm",
        remedy="Raise preflight.most_points to build every point",
        measured=float(count),
        limit=float(most),
        unit="points",
    )
    return replace(layout, inked=inked, findings=(*layout.findings, note))
