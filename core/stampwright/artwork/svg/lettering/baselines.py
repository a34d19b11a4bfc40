"""Where a line of text stands on its baseline, and the lines that decorate it (CSS Inline 3, section 4)."""

from __future__ import annotations

from functools import lru_cache

from ...fonts import Font
from ...fonts.case import opened
from ..painting.place import Place


@lru_cache(maxsize=64)
def heights(font: Font) -> tuple[float, float, float]:
    """Return ascent, descent (negative) and x-height as shares of the type size."""
    face = opened(font)
    extents = face.get_font_extents("ltr")
    glyph = face.get_nominal_glyph(ord("x"))
    drawn = face.get_glyph_extents(glyph) if glyph else None
    units = face.face.upem
    x_height = drawn.y_bearing / units if drawn is not None and drawn.y_bearing > 0 else 0.5
    return extents.ascender / units, extents.descender / units, x_height


def baseline_offset(font: Font, place: Place, size: float) -> float:
    """Return how far below its natural baseline text stands, turned upward: positive raises it, user units."""
    word = place.declared.get("alignment-baseline", "").strip() or place.style["dominant-baseline"]
    if word in {"auto", "baseline", "alphabetic", ""}:
        return 0.0
    ascent, descent, x_height = heights(font)
    offsets = {
        "middle": -x_height / 2,
        "central": -(ascent + descent) / 2,
        "hanging": -ascent * 0.8,
        "mathematical": -ascent / 2,
        "text-before-edge": -ascent,
        "before-edge": -ascent,
        "text-top": -ascent,
        "text-after-edge": -descent,
        "after-edge": -descent,
        "text-bottom": -descent,
        "ideographic": -descent,
    }
    return offsets.get(word, 0.0) * size


def decorations(font: Font, place: Place) -> list[tuple[float, float]]:
    """Return the top and thickness of every line that decorates text, user units, y down from the baseline."""
    words = place.declared.get("text-decoration", place.style.get("text-decoration", "")).split()
    ascent, _, x_height = heights(font)
    size = place.font_size
    thickness = size * 0.05  # of the type size; common in fonts that state one
    tops = {"underline": 0.1, "overline": -ascent, "line-through": -x_height / 2 - 0.025}
    return [(tops[word] * size, thickness) for word in words if word in tops]
