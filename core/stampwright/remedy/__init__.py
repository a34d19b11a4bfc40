"""Remedy: what would make artwork pass, solved, and tried before it is said."""

from .answer import Answer, answer_for
from .way import Way, Ways
from .ways import ways_to_pass

__all__ = ["Answer", "Way", "Ways", "answer_for", "ways_to_pass"]
