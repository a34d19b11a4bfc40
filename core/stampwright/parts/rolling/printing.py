"""How the parts of rockers and rollers stand on the bed, and the flat die that a written one was."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ...curved import Bend, Pose, unroll
from ...job.sections.bending import BendSection
from ...solids import Solid
from .joining import die_in_halves, drum_in_halves, together


def pose_of(section: BendSection) -> Pose:
    """Return how the die is printed."""
    return "lying" if section.stands == "lying" else "standing"


def as_printed(solid: Solid, bend: Bend | None, section: BendSection) -> Solid:
    """Return a part of a stamp as it stands on the printer's bed; those of a flat one stand so already.

    A rocker's backing and handle stand as they are; a roller's drum stands on its end, its fork lies on its side.
    """
    if bend is None:
        return solid
    if solid.name == "die":
        placed = _placed(solid, bend, pose_of(section))
        return placed if bend.joint is None else die_in_halves(placed, bend)
    if not bend.closed or solid.name not in ("backing", "handle"):
        return solid
    if solid.name == "backing":
        lift = float(solid.vertices[:, 2].max()) / 2.0
        standing = _placed(solid, replace(bend, low=-section.band / 2.0, lift=lift), "standing")
        return standing if bend.joint is None else drum_in_halves(standing, bend, section)
    across, along, up = bend.turned(solid.vertices).T
    return Solid(solid.name, np.column_stack((up, along, across.max() - across)), solid.triangles)


def flat_again(solid: Solid, bend: Bend, section: BendSection) -> tuple[Solid, ...]:
    """Return a die as it is printed flat again: one solid, or for a roller one for each repeat round it."""
    return unroll(solid if bend.joint is None else together(solid, bend), bend, pose_of(section))


def _placed(solid: Solid, bend: Bend, pose: Pose) -> Solid:
    if pose == "lying":
        return solid
    return Solid(solid.name, bend.placed(bend.round_axis(solid.vertices, "lying"), pose), solid.triangles)
