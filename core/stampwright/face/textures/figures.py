"""What a texture amounts to on the die, what dressing leaves of it, and what is to be said of both."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ...findings import Finding
from ...looks.numbers import percent
from ...solids.plan.filling import turning
from ..dense import FACE, DenseDie

MOST_FINE = 2.0
"""Points of the face to one extrusion width beyond which the printer shows no more: a ridge and a groove need two."""

DRESSED_AWAY = "dressing takes texture"


@dataclass(frozen=True, kw_only=True)
class TextureFigures:
    """Figures of a textured face.

    ``area``: of the face, mm²; ``lowered``: how much of it lies lower than printed flat, by a hundredth of a millimetre
    or more, mm². ``volume``: of all hollows, mm³. ``highest``, ``deepest``: how far the face lies below printed flat
    where it is highest and where it is lowest, mm. ``dressing``: what dressing takes off the face, mm;
    ``volume_left`` and ``deepest_left`` are what the hollows then have.
    """

    area: float
    lowered: float
    volume: float
    highest: float
    deepest: float
    dressing: float
    volume_left: float
    deepest_left: float

    @property
    def dressed_share(self) -> float:
        """How much of the texture, by its volume, dressing takes: 0 to 1."""
        return 1.0 - self.volume_left / self.volume if self.volume > 0 else 0.0

    @property
    def allowance(self) -> float:
        """How far the highest point of the face stands over what dressing leaves, mm."""
        return max(0.0, self.dressing - self.highest)


def measure_texture(dense: DenseDie, dressing: float) -> TextureFigures:
    """Return the figures of a die's texture when ``dressing`` mm are taken off its face."""
    vertices = dense.solid.vertices
    triangles = dense.solid.triangles[dense.sets == FACE].astype(np.int64)
    areas = turning(vertices[:, :2], triangles) / 2
    down = float(np.float32(dense.top)) - vertices[:, 2]
    left = np.maximum(down - dressing, 0.0)
    on_face = down[dense.movable]
    deepest = float(on_face.max())
    return TextureFigures(
        area=float(areas.sum()),
        lowered=float(areas[_mean(down, triangles) >= _LOWERED].sum()),
        volume=float((areas * _mean(down, triangles)).sum()),
        highest=float(on_face.min()),
        deepest=deepest,
        dressing=dressing,
        volume_left=float((areas * _mean(left, triangles)).sum()),
        deepest_left=max(0.0, deepest - dressing),
    )


def judge_texture(figures: TextureFigures, *, fineness: float, line_width: float) -> tuple[Finding, ...]:
    """Return what is to be said of a textured face: what dressing does to it, and detail that no printer shows."""
    return (*_about_dressing(figures), *_about_fineness(fineness, line_width))


_LOWERED = 0.01


def _mean(heights: NDArray[np.float64], triangles: NDArray[np.int64]) -> NDArray[np.float64]:
    a, b, c = triangles.T
    mean: NDArray[np.float64] = (heights[a] + heights[b] + heights[c]) / 3.0
    return mean


def _about_dressing(figures: TextureFigures) -> list[Finding]:
    if figures.dressing <= 0 or figures.volume <= 0:
        return []
    whole = figures.deepest_left <= 0
    after = "nothing is left of it" if whole else f"its hollows are {figures.deepest_left:.2f} mm deep at most then"
    return [
        Finding(
            kind=DRESSED_AWAY,
            severity="warns",
            stage="build",
            message=f"dressing takes {figures.dressing:g} mm off the face and with it "
            f"{percent(figures.dressed_share)} of the texture; {after}",
            remedy="Set die.dressing = 0 and sand the face no further than until it is even, or raise face.depth by "
            f"{figures.dressing:g} mm.",
            measured=figures.dressed_share,
            limit=0.0,
            unit="share",
        )
    ]


def _about_fineness(fineness: float, line_width: float) -> list[Finding]:
    if fineness <= MOST_FINE + 1e-9:
        return []
    return [
        Finding(
            kind="face finer than the printer",
            severity="notes",
            stage="build",
            message=f"the face has points every {line_width / fineness:.2f} mm; lines of {line_width:g} mm show none "
            f"of what is finer than {line_width / MOST_FINE:.2f} mm",
            remedy=f"Set face.fineness to {MOST_FINE:g}, or take the file to a finer printer.",
            measured=fineness,
            limit=MOST_FINE,
            unit="points",
        )
    ]
