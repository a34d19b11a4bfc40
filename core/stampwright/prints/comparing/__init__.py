"""Prints of any stamp compared with the stamp: in register by their ink alone, without marks."""

from .comparing import PrintComparison, compare_prints
from .differences import PrintDifferences, find_differences, shared_places
from .registering import Registered, register
from .sheet import check_form, comparison_file, comparison_sketch

__all__ = [
    "PrintComparison",
    "PrintDifferences",
    "Registered",
    "check_form",
    "compare_prints",
    "comparison_file",
    "comparison_sketch",
    "find_differences",
    "register",
    "shared_places",
]
