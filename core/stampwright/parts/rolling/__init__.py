"""The parts of rockers and rollers: what a bent die lies on, what it is held by, and how all are printed."""

from .building import BentDie, bend_of, bent_die, rocker_backing, rocker_foot
from .drum import build_drum
from .fork import build_fork
from .printing import as_printed, flat_again

__all__ = [
    "BentDie",
    "as_printed",
    "bend_of",
    "bent_die",
    "build_drum",
    "build_fork",
    "flat_again",
    "rocker_backing",
    "rocker_foot",
]
