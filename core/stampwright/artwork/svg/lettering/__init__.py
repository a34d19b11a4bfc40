"""Text in a drawing: its characters placed as SVG asks, and set in the fonts at hand."""

from __future__ import annotations

from .text import text_items

__all__ = ["text_items"]
