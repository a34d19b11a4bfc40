"""Scans laid askew: the small common angle at which straight edges lie, told, and the ink turned level if asked."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry import MultiPolygon
from shapely.geometry.base import BaseGeometry

from ...findings import Finding
from ...job.sections.tracing import TracingSection
from ..letters import Letter
from ..unused import not_used

STRAIGHT = 0.06
"""How far an outline may stray from a straight piece, mm: most of a pixel at 300 dpi."""

SHORTEST = 1.5
"""Straight piece of an outline that says anything of its direction, mm; shorter ones are letters' and curves'."""

LEAST_ANGLE, MOST_ANGLE = 0.25, 10.0
"""Degrees; less shows on no stamp (0.2 mm in 45 mm), and what lies at more was meant so, or was not laid by hand."""

TOGETHER = 0.4
"""Degrees to either side within which edges lie at one angle, and what they may stray over their length besides."""

LEAST_SHARE = 0.6
"""Share of all straight edges, by the squares of their lengths, that must lie at that angle."""

LEAST_LENGTH = 0.5
"""Length of those edges, as a share of the ink's longer side, under which they are no more than a detail."""


def angle_askew(inked: BaseGeometry) -> float:
    """Return by how many degrees straight edges lie askew, counter-clockwise, in any of the four directions.

    0 where there are no such edges, where they lie at several angles, or within ``LEAST_ANGLE`` of level.

    >>> round(angle_askew(affinity.rotate(shapely.box(0, 0, 30, 10), 2.0)), 3)
    2.0
    """
    rings = shapely.simplify(shapely.get_rings(shapely.get_parts(inked)), STRAIGHT)
    points, owner = shapely.get_coordinates(rings, return_index=True)
    steps = np.diff(points, axis=0)[np.diff(owner) == 0]
    lengths = np.hypot(*steps.T)
    straight = lengths > SHORTEST
    lengths = lengths[straight]
    if not len(lengths):
        return 0.0
    angles = np.degrees(np.arctan2(steps[straight, 1], steps[straight, 0]))
    # Directions a right angle apart are the same; -45 to 45.
    angles = (angles + 45.0) % 90.0 - 45.0
    # A long edge is known better, by its length, and is more of what is seen.
    weights = lengths**2
    trial = angles[np.argsort(-weights)[:200]]
    off = np.abs((angles[None] - trial[:, None] + 45.0) % 90.0 - 45.0)
    together = TOGETHER + np.degrees(STRAIGHT / 2 / lengths)
    held = np.where(off < together, weights, 0.0).sum(axis=1)
    best = trial[held.argmax()]
    near = (angles - best + 45.0) % 90.0 - 45.0
    those = np.abs(near) < together
    left, bottom, right, top = shapely.total_bounds(inked)
    long_enough = lengths[those].sum() >= LEAST_LENGTH * max(right - left, top - bottom)
    if weights[those].sum() < LEAST_SHARE * weights.sum() or not long_enough:
        return 0.0
    angle = float(best + np.average(near[those], weights=weights[those]))
    return angle if LEAST_ANGLE <= abs(angle) <= MOST_ANGLE else 0.0


def level_scan(
    inked: MultiPolygon, page_size: tuple[float, float], tracing: TracingSection, letters: tuple[Letter, ...] = ()
) -> tuple[MultiPolygon, tuple[Letter, ...], tuple[Finding, ...]]:
    """Return traced ink and its letters, turned level about the middle of their page where that is asked for.

    With them what was noticed.
    """
    if tracing.tone != "none":
        return inked, letters, ()
    angle = angle_askew(inked)
    if not angle and tracing.deskew:
        message = "tracing.deskew turned nothing: no straight edges of the scan lie at a small common angle"
        told = not_used(message, "Where it lies askew, turn it by layout.turn.")
        return inked, letters, (replace(told, severity="notes"),)
    if not angle:
        return inked, letters, ()
    way = "counter-clockwise" if angle > 0 else "clockwise"
    if not tracing.deskew:
        message = f"Straight edges of the scan lie {abs(angle):.2f} degrees {way} of level."
        return inked, letters, (_finding(message, "To turn it level, set tracing.deskew = true.", angle),)
    middle = (page_size[0] / 2, page_size[1] / 2)
    back = "clockwise" if angle > 0 else "counter-clockwise"
    message = f"The scan lay askew and was turned {abs(angle):.2f} degrees {back}."
    turned = affinity.rotate(inked, -angle, origin=middle)
    along = tuple(replace(each, place=affinity.rotate(each.place, -angle, origin=middle)) for each in letters)
    return turned, along, (_finding(message, "To leave it as it lay, set tracing.deskew = false.", angle),)


def _finding(message: str, remedy: str, angle: float) -> Finding:
    return Finding(
        kind="scan askew",
        severity="notes",
        stage="artwork",
        message=message,
        remedy=remedy,
        measured=abs(angle),
        limit=LEAST_ANGLE,
        unit="deg",
    )
