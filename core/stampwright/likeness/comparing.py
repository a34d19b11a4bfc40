"""An impression compared with the art as given."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon

from ..job.kinds import GAP_CLOSED, RUN_TOGETHER
from .changes import Change, Likeness
from .matching import InkApart, Overlaps, overlaps, within_sight
from .strokes import FilledGap, gaps_filled, shapes_drowned, strokes_lost
from .tones import compare_tones
from .topology import across, counters_changed, parts_changed

_LAID = 0.95  # share of the narrowest line laid that is told from it: repair widens lines to that very width

LONG_GAP, LONG_SHARE = 1.5, 0.2
"""How long a gap between strokes of one part must be, mm or as a share of the part, to be told when it fills; what is
shorter is the bottom of an angle, which every ink rounds."""


def liken(
    printed: MultiPolygon,
    given: MultiPolygon,
    *,
    spread: float = 0.0,
    laid: float = 0.0,
    screen: MultiPolygon | None = None,
) -> Likeness:
    """Compare what was printed with the art that was given; both valid, mm, in the paper frame, at final size.

    ``spread``: how far ink creeps past every edge, mm; what it fills counts as well as what anything else fills, but
    strokes that are merely broader by it count for nothing. ``laid``: width of the narrowest
    ink that the printer lays, mm; parts of the face that are nowhere so wide are in its file and never come to print.
    ``screen``: the ink that was meant where the art is
    screened: then tone is compared with it, and what becomes of single dots is not told.
    """
    art, ink = InkApart.of(given), InkApart.of(printed)
    hairs = _hairs(ink, spread, laid)
    unlaid = overlaps(art.parts, ink.parts[hairs]).one
    if hairs.any():
        printed = MultiPolygon(list(ink.parts[~hairs]))
        ink = InkApart.of(printed)
    met = overlaps(art.parts, ink.parts)
    common, given_area, printed_area = float(met.common.sum()), float(given.area), float(printed.area)
    return Likeness(
        given_area=given_area,
        printed_area=printed_area,
        added=max(printed_area - common, 0.0),
        lost=max(given_area - common, 0.0),
        parts=(len(art.parts), len(ink.parts)),
        counters=(len(art.papers), len(ink.papers)),
        changes=tuple(_changes(art, ink, met, spread, unlaid)) if screen is None else (),
        tone=None if screen is None else compare_tones(printed, screen),
    )


def unchanged(region: MultiPolygon) -> Likeness:
    """Return the likeness of what was printed just as it was given, as :func:`liken` would after comparing them."""
    area, parts = float(region.area), shapely.get_parts(region)
    counters = int(shapely.get_num_interior_rings(parts).sum())
    return Likeness(
        given_area=area,
        printed_area=area,
        added=0.0,
        lost=0.0,
        parts=(len(parts), len(parts)),
        counters=(counters, counters),
    )


def laid_parts(printed: MultiPolygon, *, spread: float, laid: float) -> MultiPolygon:
    """Return the parts of a print that come to be: those of a face that is somewhere as wide as what is laid.

    ``spread`` and ``laid``: as for :func:`liken`.
    """
    parts = shapely.get_parts(printed)
    return MultiPolygon(list(parts[~_hairs(InkApart.of(printed), spread, laid)])) if len(parts) else printed


def _hairs(ink: InkApart, spread: float, laid: float) -> NDArray[np.bool_]:
    """Return which parts of a print are of a face nowhere as wide as what is laid."""
    if not laid:
        return np.zeros(len(ink.parts), dtype=np.bool_)
    return ~within_sight(ink.parts, _LAID * laid + 2 * spread)


def _changes(art: InkApart, ink: InkApart, met: Overlaps, spread: float, unlaid: NDArray[np.intp]) -> Iterator[Change]:
    """Yield what an eye sees of the differences, each once: what is told of whole parts is not told of their gaps."""
    filled = gaps_filled(art, ink, met, spread)
    between = [gap for gap in filled if len(gap.parts) > 1]
    bridges = shapely.STRtree([gap.place for gap in between])
    for change in parts_changed(art, ink, met, unlaid):
        if change.kind == RUN_TOGETHER:
            over = bridges.query(change.place, predicate="intersects").tolist()
            yield _with_length(change, [between[at] for at in over])
        else:
            yield change
    counters = list(counters_changed(art, ink, unlaid))
    yield from counters
    told = shapely.STRtree([change.place for change in counters])
    for gap in filled:
        within = told.query(gap.place, predicate="intersects")
        size = max(across(art.parts[part]) for part in gap.parts) if gap.within else math.inf
        long = gap.length >= LONG_GAP or gap.length >= LONG_SHARE * size
        if gap.within and gap.is_between and long and not len(within):
            yield Change(
                kind=GAP_CLOSED,
                place=gap.place,
                area=float(gap.place.area),
                length=gap.length,
                width=gap.width,
                share=gap.length / size,
                size=size,
            )
    yield from strokes_lost(art, ink, met)
    yield from shapes_drowned(art, ink, met, filled)


def _with_length(change: Change, gaps: Sequence[FilledGap]) -> Change:
    """Return parts that ran together with how long the gap is that filled between them; 0 where they only touch."""
    longest = max(gaps, key=lambda gap: gap.length, default=None)
    if longest is None:
        return change
    return replace(
        change,
        place=longest.place,
        area=float(longest.place.area),
        length=longest.length,
        share=longest.length / change.size,
    )
