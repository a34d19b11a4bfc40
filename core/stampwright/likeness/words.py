"""The likeness in one sentence, the same wherever it leads: command line, ticket, proof, Blender."""

from __future__ import annotations

from collections import Counter

from ..job.kinds import (
    COUNTER_LOST,
    COUNTER_OPENED,
    FELL_APART,
    GAP_CLOSED,
    PART_LOST,
    RUN_TOGETHER,
    STROKE_LOST,
    WIDENED,
)
from ..looks.numbers import percent
from .changes import Likeness

_SEVERAL = {
    COUNTER_LOST: ("counter filled", "counters filled"),
    COUNTER_OPENED: ("counter opened", "counters opened"),
    PART_LOST: ("part lost", "parts lost"),
    STROKE_LOST: ("stroke lost", "strokes lost"),
    WIDENED: ("shape drowned in its strokes", "shapes drowned in their strokes"),
    RUN_TOGETHER: ("pair of parts run together", "pairs of parts run together"),
    FELL_APART: ("part fallen apart", "parts fallen apart"),
    GAP_CLOSED: ("gap closed", "gaps closed"),
}


def likeness_in_words(likeness: Likeness, spread: float) -> str:
    r"""Return what was printed of the art as given; ``spread``: how far the ink creeps, mm.

    >>> likeness_in_words(Likeness(given_area=10, printed_area=12, added=2, lost=0, parts=(1, 1), counters=(0, 0)), 0)
    '100.0\xa0% of the art as given, with 20.0\xa0% more ink; every part, counter and gap is there'
    """
    told = f"{percent(likeness.printed_share, 1)} of the art as given"
    if likeness.added_share >= 0.0005:
        by = f" (it spreads by {spread:g} mm)" if spread else ""
        told += f", with {percent(likeness.added_share, 1)} more ink{by}"
    if likeness.tone is not None:
        return f"{told}; its tone prints {_points(likeness.tone.mean)}"
    counts = Counter(change.kind for change in likeness.changes)
    if not counts:
        return f"{told}; every part, counter and gap is there"
    listed = [f"{counts[kind]} {_SEVERAL[kind][counts[kind] > 1]}" for kind in _SEVERAL if counts[kind]]
    return f"{told}; {', '.join(listed)}"


def _points(darker: float) -> str:
    if abs(darker) < 0.005:
        return "as drawn"
    return f"{'darker' if darker > 0 else 'lighter'} than drawn by {percent(abs(darker))} of the paper"
