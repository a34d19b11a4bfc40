"""The kinds of finding that a job may accept, as ``preflight.accept`` names them: of the artwork, and of its print."""

from __future__ import annotations

THIN_LINE = "thin line"
SPIKE = "spike"
NARROW_GAP = "narrow gap"
FLOODING_COUNTER = "flooding counter"
SPECK = "speck"
ISOLATED_DOT = "isolated dot"
HIGH_COVER = "high ink cover"
DENSE_OUTLINE = "dense outline"
TOUCHING_CORNERS = "touching corners"
FINE_CODE = "code too fine"
STRANGE_CODE = "code outside its standard"
RUN_TOGETHER = "parts run together"
FELL_APART = "part fell apart"
COUNTER_LOST = "counter lost"
COUNTER_OPENED = "counter opened"
GAP_CLOSED = "gap closed"
PART_LOST = "part lost"
STROKE_LOST = "stroke lost"
WIDENED = "stroke widened beyond recognition"
CODE_UNREADABLE = "code does not read"

PRINT_KINDS = (
    RUN_TOGETHER,
    FELL_APART,
    COUNTER_LOST,
    COUNTER_OPENED,
    GAP_CLOSED,
    PART_LOST,
    STROKE_LOST,
    WIDENED,
    CODE_UNREADABLE,
)
"""Those that say how the print departs from the artwork as it was given."""

KINDS: dict[str, str] = {
    THIN_LINE: "Ink narrower than the printer lays, or lays well",
    SPIKE: "Ink that tapers to a point: its end is narrower than one line of filament and will be missing",
    NARROW_GAP: "Paper between ink that the spread of the ink closes",
    FLOODING_COUNTER: "Paper enclosed by ink, so small that most of it fills",
    SPECK: "An island of ink too small to hold on",
    ISOLATED_DOT: "A small dot with no ink near it: it takes the whole push",
    HIGH_COVER: "So much of the base is ink that the stamp is hard to press evenly",
    DENSE_OUTLINE: "More outline points per millimetre than any printer can follow",
    TOUCHING_CORNERS: "Ink that meets in single points: it may print joined or apart",
    FINE_CODE: "A machine-readable code whose squares or bars the printer does not lay, or ink may close",
    STRANGE_CODE: "A code whose bars are finer or coarser than its standard has them; it reads all the same",
    RUN_TOGETHER: "Parts that stand apart in the artwork and print as one",
    FELL_APART: "One part in the artwork that prints as several",
    COUNTER_LOST: "Paper enclosed by ink, of which nothing is left that an eye sees",
    COUNTER_OPENED: "Paper enclosed by ink, whose wall has a breach in print",
    GAP_CLOSED: "Paper between strokes of one part that fills or is cut off: a C that becomes an O",
    PART_LOST: "A part of the artwork of which little or nothing prints",
    STROKE_LOST: "Some of a part that is missing in print, more than its edge",
    WIDENED: "Strokes that take up nearly all the paper within their own outline",
    CODE_UNREADABLE: "A machine-readable code that reads in the artwork and not in print",
}
"""What each kind says of the artwork, or of what prints of it."""
