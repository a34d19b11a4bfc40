"""What a drawing lays on the page, in order: marks of one colour, and layers that hold more."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from shapely.geometry.base import BaseGeometry

Colour = tuple[float, float, float, float]
"""Red, green, blue (sRGB as written, 0 to 1) and opacity."""


@dataclass(frozen=True, eq=False)
class Painted:
    """A region in one colour; mm, paper frame. ``clip``: what of it is shown, None for all."""

    region: BaseGeometry
    colour: Colour
    clip: BaseGeometry | None = None


@dataclass(eq=False)
class PaintedGroup:
    """Marks and layers painted on a sheet of their own, which is then laid on what is below.

    ``effect``: what its filter makes of its items, None for nothing. ``masks``: sheets whose tone lets the layer
    through; for each, whether its opacity counts instead of its luminance.
    """

    opacity: float = 1.0
    blend: str = "normal"
    items: list[Painted | PaintedGroup] = field(default_factory=list)
    masks: list[tuple[PaintedGroup, bool]] = field(default_factory=list)
    effect: Callable[[list[Painted | PaintedGroup]], list[Painted | PaintedGroup]] | None = None


Item = Painted | PaintedGroup
