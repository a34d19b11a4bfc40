"""Layout: the base's outline, and the artwork at its real size in the middle of it."""

from .bases import BASE_JOINED, follow_ink, outline_base
from .fitting import SMALLEST_INK, fit_to_base
from .placing import BASE_OFF_BED, NEAR_EDGE, TOO_LARGE, Layout, lay_out
from .thinning import OUTLINES_THINNED, THINNING, thin_outlines

__all__ = [
    "BASE_JOINED",
    "BASE_OFF_BED",
    "NEAR_EDGE",
    "OUTLINES_THINNED",
    "SMALLEST_INK",
    "THINNING",
    "TOO_LARGE",
    "Layout",
    "fit_to_base",
    "follow_ink",
    "lay_out",
    "outline_base",
    "thin_outlines",
]
