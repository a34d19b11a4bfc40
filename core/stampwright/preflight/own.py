"""What is a repeat's own of all that was measured of it beside its neighbours: each thing once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from ..plane.repeats import Repeat
from .islands import Islands
from .narrow_places import JudgedLines
from .widths.edges import Floats
from .widths.places import NarrowPlace


def own_islands(islands: Islands, repeat: Repeat | None) -> Islands:
    """Return the islands whose middle lies in the repeat; all where there is none."""
    return islands if repeat is None else islands.only(repeat.holds(islands.centres))


def own_lines(lines: JudgedLines, repeat: Repeat | None) -> JudgedLines:
    """Return the lines that are the repeat's, see :func:`own_places`."""
    return lines if repeat is None else JudgedLines(*(own_places(places, repeat) for places in lines))


def own_places(places: list[NarrowPlace], repeat: Repeat | None) -> list[NarrowPlace]:
    """Return the places whose middle lies in the repeat, and of those that go right through it what lies there."""
    return places if repeat is None else list(_own(places, repeat))


def _own(places: Sequence[NarrowPlace], repeat: Repeat) -> Iterator[NarrowPlace]:
    for place in places:
        ends = np.concatenate((place.lines.starts, place.lines.ends))
        if repeat.goes_through(ends):
            middles: Floats = (place.lines.starts + place.lines.ends) / 2.0
            within = repeat.holds(middles)
            if within.any():
                yield replace(place, lines=place.lines.only(within), sources=place.sources[within])
        elif repeat.holds((ends.min(axis=0) + ends.max(axis=0)) / 2.0).all():
            yield place
