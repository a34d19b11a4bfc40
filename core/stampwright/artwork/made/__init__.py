"""Made artwork: lettering, rings, rules, frames, dates, numbers and codes, without a drawing program."""

from __future__ import annotations

from .composing import make_artwork, name_of_pieces, pieces_in_file, read_pieces

__all__ = ["make_artwork", "name_of_pieces", "pieces_in_file", "read_pieces"]
