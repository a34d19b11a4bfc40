"""Colours by name, as data: filaments, inks and grounds."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

Rgba = tuple[float, float, float, float]
"""Linear red, green, blue, and opacity, as Blender's colour sockets take them."""


@cache
def colours_of(sort: str) -> dict[str, Rgba]:
    """Return the colours of a sort (filament, ink, ground) by name, the usual one first."""
    held = tomllib.loads((Path(__file__).parent / "colours.toml").read_text(encoding="utf-8"))
    return {name: _linear(code) for name, code in held[sort].items()}


def colour(sort: str, name: str) -> Rgba:
    """Return a colour by its name; one that is not there any more becomes the usual one."""
    held = colours_of(sort)
    return held.get(name, next(iter(held.values())))


def _linear(code: str) -> Rgba:
    return linear(*(int(code[at : at + 2], 16) / 255.0 for at in (1, 3, 5)))


def linear(*parts: float) -> Rgba:
    """Return an sRGB colour, red, green and blue from 0 to 1, as linear light (IEC 61966-2-1)."""
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return (red, green, blue, 1.0)
