"""Several inks in register: which prints what of the art, where one runs under another, and what a miss shows."""

from .misregister import Misregister, Miss, throw_inks
from .mixing import coloured_picture, mixed
from .play import Play, play_by_hand, play_in_gauge
from .proposing import propose_inks
from .separating import Separation, in_printing_order, separate
from .trapping import Trap, Trapped, trap_inks

__all__ = [
    "Misregister",
    "Miss",
    "Play",
    "Separation",
    "Trap",
    "Trapped",
    "coloured_picture",
    "in_printing_order",
    "mixed",
    "play_by_hand",
    "play_in_gauge",
    "propose_inks",
    "separate",
    "throw_inks",
    "trap_inks",
]
