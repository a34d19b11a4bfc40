"""The kinds of finding that the limits of a job make, as ``preflight.accept`` names them."""

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
}
"""What each kind says of the artwork."""
