"""Layout: the base's outline, and the artwork at its real size in the middle of it."""

from .bases import BASE_JOINED, follow_ink, outline_base
from .beds import ASKEW, OFF_BED, examine_on_bed
from .centring import level_shift
from .ends import ENDS_APART, about_ends
from .fitting import SMALLEST_INK, fit_to_base
from .placing import Layout, lay_out
from .room import NEAR_EDGE, TOO_LARGE, without_ends
from .thinning import OUTLINES_THINNED, THINNING, thin_outlines

__all__ = [
    "ASKEW",
    "BASE_JOINED",
    "ENDS_APART",
    "NEAR_EDGE",
    "OFF_BED",
    "OUTLINES_THINNED",
    "SMALLEST_INK",
    "THINNING",
    "TOO_LARGE",
    "Layout",
    "about_ends",
    "examine_on_bed",
    "fit_to_base",
    "follow_ink",
    "lay_out",
    "level_shift",
    "outline_base",
    "thin_outlines",
    "without_ends",
]
