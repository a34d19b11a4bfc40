"""How the lines and fills of a pencil are seen on paper: as ink, as white as the paper, or so clear that not at all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from ...stampwright.artwork.colours import NEAR_PAPER
from ...stampwright.looks.light import from_linear

HIDES = 0.5
"""Share from which on what is white covers what lies under it; less is but a haze over it."""


@dataclass(frozen=True)
class Sight:
    """How something is seen: ``clear``: not at all; ``paper``: as paper, also over ink."""

    clear: bool = False
    paper: bool = False


AS_INK = Sight()
"""What is seen as ink."""

SIGHTS = (AS_INK, Sight(clear=True), Sight(paper=True))
"""All ways to be seen."""

INK, CLEAR, PAPER = range(3)
"""Their numbers."""


NOTHING_IN_WHITE = ("HARDLIGHT", "MULTIPLY", "DIVIDE")
"""Ways to blend a layer in which white shows nothing, neither on paper nor over ink."""

NOTHING_IN_BLACK = ("HARDLIGHT", "ADD", "DIVIDE")
"""Ways to blend a layer in which black shows nothing."""


def tint_of_line(style: Any, layer: Any, painted: Any, opacity: Any) -> Any:
    """Return how a line is seen at each of its n points, as numbers of :data:`SIGHTS`, (n,) int.

    ``style``: that of its material, or None. ``painted``: the colours painted on it, linear, and how far each covers
    the material's, (n, 4) float. ``opacity``: that of its points, (n,) float.
    """
    if style is not None and (style.use_stroke_holdout or style.stroke_style != "SOLID"):
        return np.full(len(painted), PAPER if style.use_stroke_holdout else INK)
    return _tints(_colour(style, "color"), layer, painted, opacity)


def tint_of_fill(style: Any, layer: Any, painted: Any, opacity: float) -> Sight:
    """Return how a fill is seen; ``painted``: one colour, (4,) float, the rest as in :func:`tint_of_line`."""
    if style is not None and (style.use_fill_holdout or style.fill_style != "SOLID"):
        return Sight(paper=bool(style.use_fill_holdout))
    return SIGHTS[int(_tints(_colour(style, "fill_color"), layer, painted[None], np.array([opacity]))[0])]


def _colour(style: Any, name: str) -> Any:
    """Return a colour of a material, sRGB, and how far it covers, (4,) float; without a material black."""
    if style is None:
        return np.array((0.0, 0.0, 0.0, 1.0))
    value = np.array(getattr(style, name), dtype=np.float64)
    if style.bl_rna.properties[name].subtype != "COLOR_GAMMA":
        value[:3] = from_linear(value[:3])
    return value


def _tints(colour: Any, layer: Any, painted: Any, opacity: Any) -> Any:
    seen = colour[:3] + painted[:, 3:] * (from_linear(painted[:, :3]) - colour[:3])
    seen = seen + layer.tint_factor * (from_linear(np.array(layer.tint_color[:3], dtype=np.float64)) - seen)
    covers = colour[3] * opacity * layer.opacity
    is_light = covers * (1.0 - seen.min(axis=1)) <= NEAR_PAPER
    if layer.blend_mode == "SUBTRACT":
        # What is taken from white paper is dark, the lighter the darker.
        return np.where(covers * seen.max(axis=1) > NEAR_PAPER, INK, CLEAR)
    shows = ~is_light & ((seen.max(axis=1) > NEAR_PAPER) | (layer.blend_mode not in NOTHING_IN_BLACK))
    hides = is_light & (covers >= HIDES) & (layer.blend_mode not in NOTHING_IN_WHITE)
    return np.where(shows, INK, np.where(hides, PAPER, CLEAR))
