"""Outlines to solids: prisms, turned and relief solids, their union and cut, and the judgement of their soundness."""

from .kernel import cut, refine, section, unite
from .lathe import revolve, sides_of_circle
from .levels import measure_sections, volume_by_sections
from .prism import extrude
from .relief import ReliefHeights, judge_relief, raise_relief
from .solid import Solid
from .soundness import Soundness, check_soundness

__all__ = [
    "ReliefHeights",
    "Solid",
    "Soundness",
    "check_soundness",
    "cut",
    "extrude",
    "judge_relief",
    "measure_sections",
    "raise_relief",
    "refine",
    "revolve",
    "section",
    "sides_of_circle",
    "unite",
    "volume_by_sections",
]
