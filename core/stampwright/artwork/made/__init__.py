"""Made artwork: lettering, rings, rules, frames, dates, numbers and codes, without a drawing program."""

from __future__ import annotations

from .codes import MOST_SPREAD, check_codes
from .composing import make_artwork, read_pieces

__all__ = ["MOST_SPREAD", "check_codes", "make_artwork", "read_pieces"]
