"""From the die to the paper: what a stamp prints, and how it compares with the artwork."""

from .impression import Comparison, Face, compare, find_face, impress, ink_face
from .types import Impression

__all__ = ["Comparison", "Face", "Impression", "compare", "find_face", "impress", "ink_face"]
