"""From the colour that shall be seen on screen to the one that a material needs for it, in full light."""

from __future__ import annotations

from .palette import Rgba

GLEAM = 0.016
"""Share of light that paper with little shine gives back unchanged, over its colour: that of its specular level."""

NEUTRAL = "Khronos PBR Neutral"

KNEE, TAKEN = 0.08, 0.04
"""Of the neutral view: from what darkest primary on it takes away how much (Khronos PBR Neutral Tone Mapper, 2024)."""


def to_be_seen(wanted: Rgba, view: str) -> Rgba:
    """Return the colour that paper needs in full light to be seen as ``wanted``, linear, under a way to the screen.

    The neutral view takes from all three primaries alike: with x the darkest, x - 6.25 x² where x is under 0.08, and
    0.04 from there on. What stays of the darkest is 6.25 x². Other ways are taken for plain ones.
    """
    darkest, taken = min(wanted[:3]), 0.0
    if view == NEUTRAL:
        taken = TAKEN if darkest >= KNEE - TAKEN else (darkest / 6.25) ** 0.5 - darkest
    red, green, blue = (max(part + taken - GLEAM, 0.0) for part in wanted[:3])
    return (red, green, blue, wanted[3])
