"""What draws the line of a pencil: a round pen, or dots and squares that are set down along it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from ...stampwright.artwork.drawn import Brushed, Dabs, spaced

if TYPE_CHECKING:
    from ...stampwright.artwork.drawn import Shape

STILL = 1e-9
"""Length of a direction under which it is none."""


@dataclass(frozen=True)
class Brush:
    """``kind``: of a material's lines, as the host names them; ``turn``: of squares, radians, from where they align.

    ``aligned``: what they align with, as the host names it. ``is_spaced``: dots and squares touch each other, wherever
    the points of the line lie; otherwise there is one at each point.
    """

    kind: str = "LINE"
    aligned: Literal["PATH", "OBJECT", "FIXED"] = "PATH"
    turn: float = 0.0
    is_spaced: bool = False

    def drawn(self, placed: Any, radii: Any, matrix: Any, *, closed: bool, flat: tuple[bool, bool]) -> Shape:
        """Return what is drawn along a course as seen, (n, 2) float, mm, with radii, (n,) float, mm.

        ``matrix``: (4, 4) float, from the object's own coordinates to those seen.
        """
        if self.kind == "LINE":
            return Brushed(placed, radii, closed=closed, flat=flat)
        along = self._along(placed, matrix, closed=closed)
        if self.is_spaced:
            placed, radii = (np.vstack((placed, placed[:1])), np.append(radii, radii[0])) if closed else (placed, radii)
            placed, radii, steps = spaced(placed, radii)
            along = along[steps]
        if self.kind == "DOTS":
            return Dabs(placed, radii)
        lengths = np.linalg.norm(along, axis=1, keepdims=True)
        along = np.where(lengths > STILL, along / np.maximum(lengths, STILL), (1.0, 0.0))
        cosine, sine = np.cos(self.turn), np.sin(self.turn)
        return Dabs(placed, radii, along @ np.array(((cosine, sine), (-sine, cosine))))

    def _along(self, placed: Any, matrix: Any, *, closed: bool) -> Any:
        if self.aligned == "OBJECT":
            return np.tile(matrix[:2, 0], (len(placed), 1))
        if self.aligned == "FIXED":
            return np.tile((1.0, 0.0), (len(placed), 1))
        steps = np.roll(placed, -1, axis=0) - placed
        return steps if closed or len(placed) < 2 else np.vstack((steps[:-1], steps[-2:-1]))


LINE = Brush()


def brush_of(style: Any, *, is_spaced: bool) -> Brush:
    """Return what draws the lines of a material's style, or of none."""
    if style is None or style.mode == "LINE":
        return LINE
    return Brush(style.mode, style.alignment_mode, float(style.alignment_rotation), is_spaced)
