"""Type: the fonts at hand, and text set in them as outlines."""

from __future__ import annotations

from .case import Font, cap_height, find_font, fonts_named_in, read_font, varied, zero_width
from .levels import reading_levels
from .painted import GlyphLayer, Wash
from .reading import stretches
from .setting import MISSING_GLYPH, SetGlyph, SetLine, joined, outline_text, set_line

__all__ = [
    "MISSING_GLYPH",
    "Font",
    "GlyphLayer",
    "SetGlyph",
    "SetLine",
    "Wash",
    "cap_height",
    "find_font",
    "fonts_named_in",
    "joined",
    "outline_text",
    "read_font",
    "reading_levels",
    "set_line",
    "stretches",
    "varied",
    "zero_width",
]
