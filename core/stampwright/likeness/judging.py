"""What of an impression's changes a reader loses, said as findings, with the letters where they are known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import MultiPolygon, Polygon

from ..artwork.letters import Letter
from ..findings import Finding, Severity, by_severity, note_on_rest
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
from ..plane.overlays import all_joined
from .changes import Change

MOST_OF_A_KIND = 40
"""Findings of one kind and severity are listed up to this number, worst first; one note counts the rest."""

ALONGSIDE = 0.5
"""Share of the smaller part's length from which on parts that ran together are one to a reader; before, they touch."""

OWN_SHAPE = 0.03
"""Share of a shape within its outline from which on a counter belongs to it: those of a, e and 8 take 4 to 12 % in the
bundled fonts; pores of a texture take less."""

LETTER_GAP = 0.3
"""Length of a gap between a letter's strokes as a share of the letter, from which on it is what the letter is known by:
those between the arms of E take 0.4 and more, the bottoms of v and w, which every ink rounds, less."""

MUCH = 0.1
"""Share of a part that is more than its detail."""

_BESIDE, _MOST_ROUND = 0.05, 0.7  # of a letter's size: where what lies round it is looked at; how much of that is ink
_PLAIN = 64  # points of an outline that is still short
_MARGIN = 0.2  # round a place that is no more than a point, mm


@dataclass(frozen=True)
class _Judged:
    """A change, whether a reader loses by it, the letters that it concerns, and whether these are light on dark."""

    change: Change
    grave: bool
    letters: tuple[Letter, ...]
    light: bool


def judge_likeness(
    changes: Sequence[Change],
    letters: Sequence[Letter] = (),
    *,
    inked: MultiPolygon | None = None,
    speck: float = 0.0,
    accept: Iterable[str] = (),
) -> tuple[Finding, ...]:
    """Return findings on what reads otherwise in print than in the art, the gravest first.

    What takes a letter, a counter or a part from a reader blocks; what takes texture from a drawing warns. Where
    ``letters`` stand, paper frame, mm, the findings name them; ``inked``: the art itself, which tells those that are
    light on dark. ``speck``: parts no larger, mm, that belong to no letter are texture. Kinds in
    ``accept`` warn where they would block.
    """
    known = _Known(letters, inked)
    judged = []
    for change in (each for each in changes if each.laid):
        near = known.at(change)
        judged.append(_Judged(change, _is_grave(change, bool(near), speck), near, known.are_light(near)))
    accepted = frozenset(accept)
    findings = [finding for kind in _SAID for finding in _about([one for one in judged if one.change.kind == kind])]
    return by_severity(finding.weakened() if finding.kind in accepted else finding for finding in findings)


def _is_grave(change: Change, lettered: bool, speck: float) -> bool:
    match change.kind:
        case "parts run together":
            return change.share >= ALONGSIDE
        case "counter lost" | "counter opened":
            return lettered or change.share >= OWN_SHAPE
        case "gap closed":
            return lettered and (change.share >= LETTER_GAP or change.length == 0)
        case "part lost":
            return lettered or change.size > speck
        case "part fell apart" | "stroke lost":
            return change.share >= MUCH
    return True


class _Known:
    """The letters, looked up by place."""

    def __init__(self, letters: Sequence[Letter], inked: MultiPolygon | None) -> None:
        self.letters, self.inked = tuple(letters), inked
        self.tree = shapely.STRtree([letter.place for letter in letters])

    def at(self, change: Change) -> tuple[Letter, ...]:
        """Return the letters that a change concerns: those on both sides of a bridge, otherwise the nearest one."""
        if not self.letters:
            return ()
        if change.kind == RUN_TOGETHER:
            found = self.tree.query(shapely.buffer(change.place, _MARGIN), predicate="intersects")
            return tuple(self.letters[at] for at in np.sort(found).tolist())
        spot = change.place.representative_point()
        found = np.sort(self.tree.query(spot, predicate="intersects"))
        if not len(found):
            return ()
        # Boxes of slanted and kerned letters overlap.
        off = [shapely.distance(self.letters[at].place.centroid, spot) for at in found.tolist()]
        return (self.letters[int(found[int(np.argmin(off))])],)

    def are_light(self, letters: Sequence[Letter]) -> bool:
        """Say whether letters are paper in ink: nearly all round the box of each of them is ink."""
        if self.inked is None or not letters:
            return False
        shapely.prepare(self.inked)
        boxes = np.array([letter.place for letter in letters], dtype=object)
        around = shapely.get_exterior_ring(
            shapely.buffer(boxes, _BESIDE * np.sqrt(shapely.area(boxes)), join_style="mitre")
        )
        spots = shapely.line_interpolate_point(around[:, None], np.linspace(0.0, 1.0, 24)[None], normalized=True)
        return bool(shapely.intersects(self.inked, spots).mean() > _MOST_ROUND)


def _about(judged: Sequence[_Judged]) -> Iterator[Finding]:
    """Yield the findings of one kind: what concerns letters word by word, the rest place by place, worst first."""
    for grave in (True, False):
        those = [one for one in judged if one.grave == grave]
        severity: Severity = "blocks" if grave else "warns"
        words: dict[str, list[_Judged]] = {}
        for one in those:
            if one.letters:
                words.setdefault(" ".join(dict.fromkeys(letter.word for letter in one.letters)), []).append(one)
        found = [_of_word(word, group, severity) for word, group in words.items()]
        rest = sorted((one.change for one in those if not one.letters), key=lambda change: -change.size)
        found += [_finding(change, severity, _SAID[change.kind](change)) for change in rest]
        yield from found[:MOST_OF_A_KIND]
        if len(found) > MOST_OF_A_KIND:
            yield note_on_rest(found[0].kind, severity, "impression", len(found), MOST_OF_A_KIND)


def _of_word(word: str, group: Sequence[_Judged], severity: Severity) -> Finding:
    """Return one finding on all letters of a word, or of words that stand side by side, that a kind concerns."""
    kind = group[0].change.kind
    named = list(dict.fromkeys((letter.place.wkb, letter.character) for one in group for letter in one.letters))
    characters = [f"'{character}'" for _, character in named]
    # Named once each where a word has many of them; the place shows which.
    listed = ", ".join(dict.fromkeys(characters) if len(characters) > 8 else characters)
    many = len(characters) > 1
    light = kind in _OF_LIGHT_LETTERS and 2 * sum(one.light for one in group) > len(group)
    do = _OF_LIGHT_LETTERS[kind] if light else _OF_LETTERS[kind]
    does = _OF_A_LIGHT_LETTER[kind] if light else _OF_A_LETTER[kind]
    of = " and ".join(f"'{part}'" for part in word.split(" "))
    worst = max((one.change for one in group), key=lambda change: change.area)
    place = all_joined([_shown(one.change.place) for one in group])
    if many:
        said = f"The letters {listed} of {of} {do}"
    elif word == named[0][1]:
        said = f"The character {listed} {does}"
    else:
        said = f"The letter {listed} of {of} {does}"
    return replace(_finding(worst, severity, said), place=place)


def _finding(change: Change, severity: Severity, message: str) -> Finding:
    return Finding(
        kind=change.kind,
        severity=severity,
        stage="impression",
        message=message,
        remedy=_REMEDIES[change.kind],
        place=_shown(change.place),
        measured=change.share if change.kind in (WIDENED, STROKE_LOST) else change.width or change.area,
        unit="" if change.kind in (WIDENED, STROKE_LOST) else "mm" if change.width else "mm²",
    )


def _shown(place: shapely.Geometry) -> Polygon:
    """Return a place plain enough to be drawn: its own outline where that is short, otherwise the box round it."""
    plain = isinstance(place, Polygon) and shapely.get_num_coordinates(place) <= _PLAIN
    return place if plain else shapely.box(*place.bounds)


def _said_of_joined(change: Change) -> str:
    over = f" over {change.length:.1f} mm" if change.length else ", where they nearly touch"
    return f"Parts {change.width:.2f} mm apart print as one{over}"


def _said_of_gap(change: Change) -> str:
    if change.length:
        return f"A gap {change.width:.2f} mm wide and {change.length:.1f} mm long within one part fills"
    return f"A bay of {change.area:.2g} mm² within one part prints closed, as a counter"


_SAID: dict[str, Callable[[Change], str]] = {
    WIDENED: lambda change: (
        f"A shape {change.size:.1f} mm across drowns in its own strokes: "
        f"{percent(change.share)} of the paper in it is left"
    ),
    COUNTER_LOST: lambda change: f"A counter of {change.place.area:.2f} mm² fills: nothing of it is seen in print",
    RUN_TOGETHER: _said_of_joined,
    PART_LOST: lambda change: (
        f"A part {change.size:.1f} mm across does not print ({percent(change.share)} of it is missing)"
    ),
    STROKE_LOST: lambda change: (
        f"{change.length:.1f} mm of a stroke are missing, {percent(change.share)} of their part"
    ),
    FELL_APART: lambda change: f"A part prints in pieces, {change.width:.2f} mm apart",
    COUNTER_OPENED: lambda change: f"A counter of {change.place.area:.2f} mm² prints open: its wall has a breach",
    GAP_CLOSED: _said_of_gap,
}

_OF_LETTERS = {
    WIDENED: "drown in their own strokes",
    COUNTER_LOST: "lost their counters",
    RUN_TOGETHER: "run together",
    PART_LOST: "lost parts of them or all",
    STROKE_LOST: "lost strokes",
    FELL_APART: "fell apart",
    COUNTER_OPENED: "lost the walls of their counters",
    GAP_CLOSED: "lost gaps between their strokes",
}

_OF_A_LETTER = {
    WIDENED: "drowns in its own strokes",
    COUNTER_LOST: "lost its counter",
    RUN_TOGETHER: "runs into what stands beside it",
    PART_LOST: "lost a part of it or all",
    STROKE_LOST: "lost a stroke",
    FELL_APART: "fell apart",
    COUNTER_OPENED: "lost the wall of its counter",
    GAP_CLOSED: "lost the gap between its strokes",
}

_OF_LIGHT_LETTERS = {
    COUNTER_LOST: "fill with the ink round them",
    RUN_TOGETHER: "lose strokes to the ink beside them",
    GAP_CLOSED: "lose strokes to the ink beside them",
}
"""Of letters that are paper in ink, whose strokes are its gaps."""

_OF_A_LIGHT_LETTER = {
    COUNTER_LOST: "fills with the ink round it",
    RUN_TOGETHER: "loses strokes to the ink beside it",
    GAP_CLOSED: "loses strokes to the ink beside it",
}

_REMEDIES = {
    WIDENED: "Enlarge the artwork, use a finer nozzle, or draw it in fewer and bolder strokes",
    COUNTER_LOST: "Enlarge the artwork, or open the counter",
    RUN_TOGETHER: "Enlarge the artwork, or set the parts wider apart",
    PART_LOST: "Draw it larger, or leave it out",
    STROKE_LOST: "Draw the stroke wider",
    FELL_APART: "Draw the joint wider",
    COUNTER_OPENED: "Draw the wall wider",
    GAP_CLOSED: "Enlarge the artwork, or open the gap",
}
