"""What a font states of itself: heights, widths, and what its own tables can do."""

from __future__ import annotations

from .case import Font, opened


def cap_height(font: Font) -> float:
    """Return the height of the capital H, as a share of the type size; 0.7 where the font has none."""
    face = opened(font)
    glyph = face.get_nominal_glyph(ord("H"))
    extents = face.get_glyph_extents(glyph) if glyph else None
    if extents is None or extents.y_bearing <= 0:
        return 0.7
    return float(extents.y_bearing / face.face.upem)


def zero_width(font: Font) -> float:
    """Return the advance of the digit 0, as a share of the type size; half of it where the font has none."""
    face = opened(font)
    glyph = face.get_nominal_glyph(ord("0"))
    return float(face.get_glyph_h_advance(glyph) / face.face.upem) if glyph else 0.5


def has_feature(font: Font, tag: str) -> bool:
    """Return whether a font's own tables put other glyphs for a feature, such as smcp for small capitals."""
    face = opened(font).face
    return any(
        tag in face.get_language_feature_tags("GSUB", script)
        for script in range(len(face.get_table_script_tags("GSUB")))
    )
