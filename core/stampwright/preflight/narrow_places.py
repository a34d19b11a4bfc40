"""Judging places: which narrow stretches are lines that go missing, weak lines, points, or gaps that close."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

import numpy as np
from shapely.geometry import MultiPolygon

from .limits import EYE, PrintLimits
from .tips import gathered_tips
from .widths.middles import MiddleLines
from .widths.places import LONGEST_TAPER, NarrowPlace, find_places, joins_broad_ink


class JudgedLines(NamedTuple):
    """Places in ink: too thin to be laid, the weak stretches that these are part of, other weak ones, and points.

    ``spikes`` are the ends of points that are too thin to be laid. ``joints`` are where ink all but touches. Narrowest
    come first, of spikes the longest.
    """

    missing: list[NarrowPlace]
    around_missing: list[NarrowPlace]
    weak: list[NarrowPlace]
    spikes: list[NarrowPlace]
    joints: list[NarrowPlace]


def judge_lines(inked: MultiPolygon, lines: MiddleLines, limits: PrintLimits, *, neck: float = 1.0) -> JudgedLines:
    """Judge the ink that is narrower than the warning limit, by its middle lines there.

    A stretch that is too thin to be laid is a missing line, unless it is the short pointed end of something broader:
    then it is a spike, which loses that end. A neck that is shorter than it is wide is no line: what is laid on both
    sides of it flows together there. A hair (half of what the printer lays) is none where broad ink lies on both sides,
    so near that ink closes what is between; and as it is not sure even then, it is a joint, as corners are that touch
    in a point. What is laid but weak is named only where it is more than the flanks of such stretches, and not
    where something broader just tapers off. ``neck``: how long a neck may be, as a share of its width.
    """
    weak_places = find_places(lines, limits.line_warns)
    owner = np.full(len(lines), -1)
    for index, place in enumerate(weak_places):
        owner[place.sources] = index
    found = _sorted_out(find_places(lines, limits.line_blocks), limits, neck)
    missing, tips = gathered_tips(inked, found.missing, limits.line_blocks)
    found = found._replace(missing=missing, points=[*found.points, *tips])
    points, broken, round_joints = (
        Counter(int(owner[place.sources[0]]) for place in places)
        for places in (found.points, found.missing, found.joints)
    )
    weak = [
        place
        for index, place in enumerate(weak_places)
        if index not in broken
        and not (index in round_joints and place.length < limits.line_warns)
        and not place.is_nothing
        and not place.tapers_off
        and place.length > LONGEST_TAPER * limits.line_warns * points[index]
    ]
    weak, _ = gathered_tips(inked, weak, limits.line_warns, longest=1.0)
    # A shorter point is a corner: see the rule on tapers in widths.facing.
    spikes = [place for place in found.points if place.length >= 2 * limits.line_blocks]
    return JudgedLines(
        _narrowest_first(found.missing),
        [weak_places[index] for index in sorted(broken)],
        _narrowest_first(weak),
        _longest_first(spikes),
        _narrowest_first(found.joints),
    )


class _SortedOut(NamedTuple):
    """Places that are not laid as lines: lines that are missing, points, and joints."""

    missing: list[NarrowPlace]
    points: list[NarrowPlace]
    joints: list[NarrowPlace]


def _sorted_out(places: list[NarrowPlace], limits: PrintLimits, neck: float) -> _SortedOut:
    found, hairs = _SortedOut([], [], []), []
    for place in places:
        if place.is_nothing:
            continue
        if place.narrowest < limits.line_blocks / 2 and place.length < limits.line_blocks and not place.is_point:
            hairs.append(place)
        elif place.is_neck(neck):
            # The printer bridges it: the bead is laid by what lies on both sides.
            continue
        elif place.is_point:
            found.points.append(place)
        else:
            found.missing.append(place)
    joined = joins_broad_ink(hairs, (limits.line_blocks + limits.gap) / 2)
    for place, holds in zip(hairs, joined, strict=True):
        (found.joints if holds else found.missing).append(place)
    return found


def judge_gaps(gaps: MiddleLines, limits: PrintLimits) -> list[NarrowPlace]:
    """Return the gaps that will close, narrowest first; the pointed ends of notches fill a little and are no gaps.

    Nor are slits that no eye sees; a throat between corners opens to both sides, and is one.
    """
    return _narrowest_first(
        [place for place in find_places(gaps, limits.gap) if not (place.is_point or _unseen(place))]
    )


def _unseen(place: NarrowPlace) -> bool:
    return place.length >= EYE > place.lines.widest


def _narrowest_first(places: list[NarrowPlace]) -> list[NarrowPlace]:
    return sorted(places, key=lambda place: place.narrowest)


def _longest_first(places: list[NarrowPlace]) -> list[NarrowPlace]:
    return sorted(places, key=lambda place: -place.length)
