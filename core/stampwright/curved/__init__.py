"""Curved faces: flat solids bent on a cylinder, joined to rollers, and unrolled again."""

from .bend import Bend, Pose
from .bending import bend_die, bend_plate, laid_round
from .recognising import Recognised, recognise
from .seams import lay_seam
from .unrolling import unroll, unroll_about

__all__ = [
    "Bend",
    "Pose",
    "Recognised",
    "bend_die",
    "bend_plate",
    "laid_round",
    "lay_seam",
    "recognise",
    "unroll",
    "unroll_about",
]
