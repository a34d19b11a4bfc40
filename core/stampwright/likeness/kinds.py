"""The kinds of finding that likeness makes; ``preflight.accept`` of a job takes these names, too."""

from __future__ import annotations

RUN_TOGETHER = "parts run together"
"""Parts that stand apart in the art and print as one."""

FELL_APART = "part fell apart"
"""One part in the art that prints as several."""

COUNTER_LOST = "counter lost"
"""Paper enclosed by ink in the art, of which nothing is left that an eye sees."""

COUNTER_OPENED = "counter opened"
"""Paper enclosed by ink in the art, whose wall has a breach in print."""

GAP_CLOSED = "gap closed"
"""Paper between strokes of one part that fills, or is cut off from the rest: a C that becomes an O."""

PART_LOST = "part lost"
"""A part of the art of which little or nothing prints."""

STROKE_LOST = "stroke lost"
"""Some of a part that is missing in print, more than its edge."""

WIDENED = "stroke widened beyond recognition"
"""Strokes that take up nearly all the paper within their own outline, so that its shape is gone."""

CODE_UNREADABLE = "code does not read"
"""A machine-readable code that reads in the art and not in print."""

KINDS = (
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
