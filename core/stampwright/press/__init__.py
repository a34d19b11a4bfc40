"""From the die to the paper: what a stamp prints, and how it compares with the artwork."""

from .impression import Comparison, compare, impress
from .types import Impression

__all__ = ["Comparison", "Impression", "compare", "impress"]
