"""The cylinder that a die is bent on, and the ways between the flat die, the bent one, and how it lies or stands.

Round the axis a place is (s, t, c): s sideways, t along the axis, c up, so that the middle of the face is at s = 0.
What is flat at x, y, z goes to the angle x / radius and to the distance ``radius + z - height`` from the axis: lengths
along the face stay, and heights become radial. A die that rolls up the paper is turned a quarter on the way.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ..plane.circles import chord_step

Floats = NDArray[np.float64]

CHORD_ERROR = 0.0045
"""How far a bent surface may stray from its cylinder, mm; with what 32-bit floats round, under 0.005."""

Pose = Literal["lying", "standing"]


@dataclass(frozen=True, kw_only=True)
class Bend:
    """How a die is bent.

    ``radius``: of the finished face, mm; ``height``: of that face over the flat die's underside; ``dressing``: what
    still stands over it; ``upward``: whether it rolls up the paper rather than across it.
    ``repeat``: length of the artwork's repeat, mm, and ``turns``: how many go round a roller; 0 for a rocker.
    ``seam``: where along x (y if ``upward``) a roller's repeat ends, die frame, mm.
    ``overlap``: how far the flat die reaches over both seams, where they go through its relief, mm; 0 where they go
    across its floor alone.
    ``low``: the least t of the die; ``lift``: how high the axis is over the bed when the die lies, mm.
    ``joint``: where along t a roller is joined of two halves; None for one piece.
    ``plane``: how far from the axis the plane lies that a rocker's handle stands on, mm, counted towards the face.
    """

    radius: float
    height: float
    dressing: float = 0.0
    upward: bool = False
    repeat: float = 0.0
    turns: int = 0
    seam: float = 0.0
    overlap: float = 0.0
    low: float = 0.0
    lift: float = 0.0
    plane: float = 0.0
    joint: float | None = None

    @property
    def inner(self) -> float:
        """Radius of the die's underside, mm."""
        return self.radius - self.height

    @property
    def outer(self) -> float:
        """Radius of the face before it is dressed, mm."""
        return self.radius + self.dressing

    @property
    def closed(self) -> bool:
        """Whether the die goes all the way round."""
        return self.turns > 0

    @property
    def step(self) -> float:
        """How far a triangle may reach along the flat face so that its chord stays near the cylinder, mm."""
        return self.radius * chord_step(self.outer, CHORD_ERROR)

    def turned(self, points: Floats) -> Floats:
        """Return flat places, (n, 3) mm, die frame, with x along the way that the die rolls."""
        return np.column_stack((points[:, 1], 0.0 - points[:, 0], points[:, 2])) if self.upward else points

    def turned_back(self, points: Floats) -> Floats:
        """Return what :meth:`turned` gave as it was."""
        return np.column_stack((0.0 - points[:, 1], points[:, 0], points[:, 2])) if self.upward else points

    def rolled_up(self, points: Floats) -> Floats:
        """Return flat places, (n, 3) mm, as :meth:`turned` gives them, round the axis: (s, t, c)."""
        angles, distances = points[:, 0] / self.radius, self.inner + points[:, 2]
        return np.column_stack((distances * np.sin(angles), points[:, 1], distances * np.cos(angles)))

    def unrolled(self, points: Floats, about: Floats | float = 0.0) -> Floats:
        """Return places round the axis, (n, 3) mm, as flat ones: x within half a turn of ``about``, mm.

        Heights are told to a ten-thousandth of a millimetre, as nearly as 32-bit floats hold a radius, so that what
        was level is level again.
        """
        round_once = 2.0 * math.pi * self.radius
        along = np.arctan2(points[:, 0], points[:, 2]) * self.radius
        along -= np.rint((along - about) / round_once) * round_once
        heights = np.round(np.hypot(points[:, 0], points[:, 2]) - self.inner, 4)
        return np.column_stack((along, points[:, 1], heights))

    def placed(self, points: Floats, pose: Pose) -> Floats:
        """Return places round the axis as they lie face up over the bed, or stand on it, axis upright; mm."""
        if pose == "lying":
            return np.add(self.turned_back(points), (0.0, 0.0, self.lift))
        return np.column_stack((points[:, 0], 0.0 - points[:, 2], points[:, 1] - self.low))

    def round_axis(self, points: Floats, pose: Pose) -> Floats:
        """Return what :meth:`placed` gave as it was."""
        if pose == "lying":
            return self.turned(points - (0.0, 0.0, self.lift))
        return np.column_stack((points[:, 0], points[:, 2] + self.low, 0.0 - points[:, 1]))

    def flat_again(self, points: Floats, pose: Pose) -> Floats:
        """Return places of a bent die, (n, 3) mm, on the flat die, die frame; of a roller all on its first repeat."""
        flat = self.unrolled(self.round_axis(points, pose))
        if self.closed:
            flat[:, 0] -= np.rint(flat[:, 0] / self.repeat) * self.repeat
        return self.turned_back(flat)
