"""The parts of a stamp: die, backing, cushion and handle, and how they join."""

from ..job.heights import Heights, snap_heights
from .backing import backing_height, build_backing, examine_backing, seat_height
from .cushion import build_cushion
from .die import build_die, dense_face, face_outlines
from .handle import build_handle
from .measures import Measures, in_hours, measure, measure_parts
from .standing import Pose, Standing, stand

__all__ = [
    "Heights",
    "Measures",
    "Pose",
    "Standing",
    "backing_height",
    "build_backing",
    "build_cushion",
    "build_die",
    "build_handle",
    "dense_face",
    "examine_backing",
    "face_outlines",
    "in_hours",
    "measure",
    "measure_parts",
    "seat_height",
    "snap_heights",
    "stand",
]
