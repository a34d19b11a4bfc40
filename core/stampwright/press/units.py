"""Meshes that were drawn in inches, centimetres or metres, which STL files do not say."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..findings import Finding
from ..job.sections.placing import BaseSection
from ..job.settings import limits_of

LEAST_SIDE, _ = limits_of(BaseSection, "width")
"""Longest side of the smallest stamp that a job takes, mm."""

_UNITS = (25.4, 10.0, 1000.0)  # mm: the inch, the centimetre, the metre
_LIKELY, _USUAL = (12.0, 200.0), 50.0  # mm: the longest side of most stamps, and of a usual one (assumed)


def in_another_unit(vertices: NDArray[Any]) -> list[Finding]:
    """Return a finding for a mesh, (n, 3) mm, that is smaller than any stamp: in which unit it would be one."""
    wide, high = (float(part) for part in np.ptp(np.asarray(vertices, dtype=np.float64)[:, :2], axis=0))
    longest = max(wide, high)
    if longest >= LEAST_SIDE:
        return []
    message = f"the mesh is {wide:.3g} x {high:.3g} mm, smaller than any stamp"
    likely = [unit * longest for unit in _UNITS if _LIKELY[0] <= unit * longest <= _LIKELY[1]]
    if likely:
        unit = min(likely, key=lambda side: abs(np.log(side / _USUAL))) / longest
        message = (
            f"the mesh is {wide:.3g} x {high:.3g} mm, smaller than any stamp; drawn in units of {unit:g} mm it would "
            f"be {wide * unit:.1f} x {high * unit:.1f} mm"
        )
    return [
        Finding(
            kind="another unit",
            severity="warns",
            stage="impression",
            message=message,
            remedy="Export it anew in millimetres, not in inches or metres: STL files do not say their unit.",
            measured=longest,
            limit=LEAST_SIDE,
        )
    ]
