"""Remedy: what would make artwork pass, solved, and tried before it is said."""

from .answer import Answer, answer_for
from .trials import TYPESETTING
from .way import Way, Ways
from .ways import ways_to_pass

__all__ = ["TYPESETTING", "Answer", "Way", "Ways", "answer_for", "ways_to_pass"]
