"""From the colour that shall be seen on screen to the one that a material needs for it, in full light."""

from __future__ import annotations

from typing import Any

from .palette import Rgba
from .wiring import Wiring

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


def seen_as_it_is(wiring: Wiring, wanted: Any, darkest: Any, view: str) -> Any:
    """Return the same of a colour that a picture holds; ``darkest``: the darkest primary of it."""
    taken: Any = 0.0
    if view == NEUTRAL:
        # What it takes away is most, and stays so, where the darkest is KNEE - TAKEN.
        held = wiring.math("MINIMUM", darkest, KNEE - TAKEN)
        taken = wiring.math("SUBTRACT", wiring.math("SQRT", wiring.math("DIVIDE", held, 6.25)), held)
    more = wiring.math("SUBTRACT", taken, GLEAM)
    every = wiring.add("CombineXYZ", X=more, Y=more, Z=more).outputs[0]
    return wiring.vector("MAXIMUM", wiring.vector("ADD", wanted, every), (0.0, 0.0, 0.0))
