"""Where a line of text stands on its baseline, and the lines that decorate it (CSS Inline 3, section 4)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import uharfbuzz as harfbuzz

from ...fonts import Font
from ...fonts.case import opened
from ..placing.place import Place
from ..styling.cascade import own_value
from ..styling.values import number


@dataclass(frozen=True)
class Heights:
    """Heights over the baseline as shares of the type size, by the font's own tables; ``line``: a line's thickness."""

    ascent: float
    descent: float
    x_height: float
    subscript: float
    superscript: float
    underline: float
    strikeout: float
    line: float


@lru_cache(maxsize=64)
def heights(font: Font) -> Heights:
    """Return the heights of a font; the usual ones where it states none."""
    face = opened(font)
    units = face.face.upem
    extents = face.get_font_extents("ltr")
    glyph = face.get_nominal_glyph(ord("x"))
    drawn = face.get_glyph_extents(glyph) if glyph else None
    x_height = drawn.y_bearing / units if drawn is not None and drawn.y_bearing > 0 else 0.5
    tags = harfbuzz.OTMetricsTag

    def stated(tag: harfbuzz.OTMetricsTag, usual: float) -> float:
        position = face.get_metric_position(tag)
        return usual if position is None else position / units

    return Heights(
        ascent=extents.ascender / units,
        descent=extents.descender / units,
        x_height=x_height,
        subscript=-stated(tags.SUBSCRIPT_EM_Y_OFFSET, 0.2),
        superscript=stated(tags.SUPERSCRIPT_EM_Y_OFFSET, 0.4),
        underline=stated(tags.UNDERLINE_OFFSET, -0.1),
        strikeout=stated(tags.STRIKEOUT_OFFSET, x_height / 2),
        line=stated(tags.UNDERLINE_SIZE, 0.05),
    )


def baseline_offset(font: Font, place: Place, size: float) -> float:
    """Return how far below its natural baseline text stands, turned upward: positive raises it, user units."""
    word = place.declared.get("alignment-baseline", "").strip() or place.style["dominant-baseline"]
    if word in {"auto", "baseline", "alphabetic", ""}:
        return 0.0
    of = heights(font)
    offsets = {
        "middle": -of.x_height / 2,
        "central": -(of.ascent + of.descent) / 2,
        "hanging": -of.ascent * 0.8,
        "mathematical": -of.ascent / 2,
        "text-before-edge": -of.ascent,
        "before-edge": -of.ascent,
        "text-top": -of.ascent,
        "text-after-edge": -of.descent,
        "after-edge": -of.descent,
        "text-bottom": -of.descent,
        "ideographic": -of.descent,
    }
    return offsets.get(word, 0.0) * size


def baseline_shift(font: Font, place: Place, around: Place) -> float:
    """Return how far a span is raised over what holds it, user units."""
    word = own_value(place.declared, around.declared, "baseline-shift")
    if word in {"sub", "super"}:
        of = heights(font)
        return (of.superscript if word == "super" else of.subscript) * place.font_size
    if word.endswith("%"):
        return number(word, 0.0) * place.font_size
    return place.length(word) or 0.0


def decoration(font: Font, words: Sequence[str], size: float) -> list[tuple[float, float]]:
    """Return the top and bottom of each line that decorates text, user units, y down from the baseline."""
    of = heights(font)
    middles = {"underline": -of.underline, "overline": -of.ascent, "line-through": -of.strikeout}
    return [((middles[word] - of.line / 2) * size, (middles[word] + of.line / 2) * size) for word in words]
