"""SVG as artwork: ink read equals ink seen."""

from __future__ import annotations

from ..limits import Limits
from .reader import read_svg

__all__ = ["Limits", "read_svg"]
