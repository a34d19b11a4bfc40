"""The parts of a stamp: die, backing, cushion and handle, and how they join."""

from .backing import build_backing
from .cushion import build_cushion
from .die import build_die, face_outlines
from .handle import build_handle
from .heights import Heights, snap_heights
from .measures import Measures, measure, measure_parts

__all__ = [
    "Heights",
    "Measures",
    "build_backing",
    "build_cushion",
    "build_die",
    "build_handle",
    "face_outlines",
    "measure",
    "measure_parts",
    "snap_heights",
]
