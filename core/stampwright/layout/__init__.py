"""Layout: the base's outline, and the artwork at its real size in the middle of it."""

from .placing import (
    BASE_JOINED,
    BASE_OFF_BED,
    NEAR_EDGE,
    SMALLEST_INK,
    TOO_LARGE,
    Layout,
    fit_to_base,
    lay_out,
    outline_base,
)

__all__ = [
    "BASE_JOINED",
    "BASE_OFF_BED",
    "NEAR_EDGE",
    "SMALLEST_INK",
    "TOO_LARGE",
    "Layout",
    "fit_to_base",
    "lay_out",
    "outline_base",
]
