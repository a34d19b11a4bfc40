"""Curved faces: flat solids bent on a cylinder, joined to rollers, and unrolled again."""

from .bend import Bend, Pose
from .bending import bend_die, bend_plate
from .seams import lay_seam
from .unrolling import unroll

__all__ = ["Bend", "Pose", "bend_die", "bend_plate", "lay_seam", "unroll"]
