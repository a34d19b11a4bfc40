"""The handle: its forms, its hollow and marks, and how it is judged."""

from .building import build_handle, shape_body
from .fitness import overhangs

__all__ = ["build_handle", "overhangs", "shape_body"]
