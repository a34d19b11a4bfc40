"""Outlines to solids: prisms, turned and relief solids, their union and cut, and the judgement of their soundness."""

from .kernel import cut, intersect, section, unite
from .lathe import revolve, sides_of_circle
from .prism import extrude
from .soundness import Soundness, check_soundness
from .types import Solid

__all__ = [
    "Solid",
    "Soundness",
    "check_soundness",
    "cut",
    "extrude",
    "intersect",
    "revolve",
    "section",
    "sides_of_circle",
    "unite",
]
