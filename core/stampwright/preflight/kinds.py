"""The kinds of finding that preflight makes; ``preflight.accept`` of a job takes these names."""

from __future__ import annotations

THIN_LINE = "thin line"
"""Ink narrower than the printer lays (blocks) or lays well (warns)."""

SPIKE = "spike"
"""Ink that tapers to a point: its end is narrower than one extrusion line and will be missing."""

NARROW_GAP = "narrow gap"
"""Paper between ink that the spread of the ink closes."""

FLOODING_COUNTER = "flooding counter"
"""Paper enclosed by ink, so small that most of it fills."""

SPECK = "speck"
"""An island of ink too small to hold on."""

ISOLATED_DOT = "isolated dot"
"""A small dot with no ink near it: it takes the whole push."""

HIGH_COVER = "high cover"
"""So much of the base is ink that the stamp is hard to press evenly."""

DENSE_OUTLINE = "dense outline"
"""More outline points per millimetre than any printer can follow."""

TOUCHING_CORNERS = "touching corners"
"""Ink that meets in single points: it may print joined or apart."""

KINDS = (
    THIN_LINE,
    SPIKE,
    NARROW_GAP,
    FLOODING_COUNTER,
    SPECK,
    ISOLATED_DOT,
    HIGH_COVER,
    DENSE_OUTLINE,
    TOUCHING_CORNERS,
)
