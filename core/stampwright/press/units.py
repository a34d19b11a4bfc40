"""Meshes that were drawn in inches, centimetres or metres, which STL files do not say."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..findings import Finding

LEAST_SIDE = 5.0
"""Longest side of the smallest stamp that a job takes, mm: base.width."""

_UNITS = (("inches", 25.4), ("centimetres", 10.0), ("metres", 1000.0))
_LIKELY, _USUAL = (12.0, 200.0), 50.0  # mm: the longest side of most stamps, and of a usual one (assumed)


def in_another_unit(vertices: NDArray[Any]) -> list[Finding]:
    """Return a finding for a mesh, (n, 3) mm, that is smaller than any stamp: in which unit it would be one."""
    wide, high = (float(part) for part in np.ptp(np.asarray(vertices, dtype=np.float64)[:, :2], axis=0))
    longest = max(wide, high)
    if longest >= LEAST_SIDE:
        return []
    told = Finding(
        kind="another unit",
        severity="warns",
        stage="impression",
        message=f"the mesh is {wide:.3g} x {high:.3g} mm, smaller than any stamp",
        remedy="Export it anew in millimetres: STL files do not say their unit.",
        measured=longest,
        limit=LEAST_SIDE,
    )
    likely = {unit: size * longest for unit, size in _UNITS if _LIKELY[0] <= size * longest <= _LIKELY[1]}
    if not likely:
        return [told]
    unit = min(likely, key=lambda each: abs(np.log(likely[each] / _USUAL)))
    grown = likely[unit] / longest
    sides = f"{wide * grown:.1f} x {high * grown:.1f} mm"
    return [replace(told, message=f"{told.message}; drawn in {unit} it would be {sides}")]
