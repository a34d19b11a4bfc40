"""Type: the fonts at hand, and text set in them as outlines."""

from __future__ import annotations

from .case import Font, find_font, fonts_named_in, read_font, varied
from .levels import reading_levels
from .painted import GlyphLayer, Wash
from .reading import stretches
from .setting import MISSING_GLYPH, SetGlyph, SetLine, joined, outline_text, set_line
from .standing_in import fonts_standing_in, holds, stand_ins_in, standing_in
from .stated import cap_height, has_feature, zero_width

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
    "fonts_standing_in",
    "has_feature",
    "holds",
    "joined",
    "outline_text",
    "read_font",
    "reading_levels",
    "set_line",
    "stand_ins_in",
    "standing_in",
    "stretches",
    "varied",
    "zero_width",
]
