"""The parts of a stamp: die, backing, cushion and handle, and how they join."""

from ..job.heights import PartHeights, snap_heights
from .backing import backing_height, backing_outline, build_backing, examine_backing, seat_height
from .cushion import build_cushion
from .die import build_die, judge_die, lay_die
from .handle import build_handle
from .measures import Measures, in_hours, measure
from .on_bed import examine_parts
from .regions import REGIONS, DieRegions, heights_over_floor, mark_regions
from .standing import BedPose, Standing, stand

__all__ = [
    "REGIONS",
    "BedPose",
    "DieRegions",
    "Measures",
    "PartHeights",
    "Standing",
    "backing_height",
    "backing_outline",
    "build_backing",
    "build_cushion",
    "build_die",
    "build_handle",
    "examine_backing",
    "examine_parts",
    "heights_over_floor",
    "in_hours",
    "judge_die",
    "lay_die",
    "mark_regions",
    "measure",
    "seat_height",
    "snap_heights",
    "stand",
]
