"""Artwork: what is to be printed, as it reads on paper, and the readers and makers of it."""

from __future__ import annotations

from .artwork import Artwork
from .made import make_artwork
from .reading import read_artwork

__all__ = ["Artwork", "make_artwork", "read_artwork"]
