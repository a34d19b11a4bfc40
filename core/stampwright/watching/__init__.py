"""Watching: artwork and job examined again at every save, shown as a page that this machine alone can open."""

from .board import Board, Shown
from .changes import changes
from .serving import serving

__all__ = ["Board", "Shown", "changes", "serving"]
