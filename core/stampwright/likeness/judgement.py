"""A print judged by the art as given: how alike they are, whether its codes read, and what to say of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import shapely
from shapely.geometry import MultiPolygon

from ..findings import Finding, by_severity
from ..plane.overlays import all_joined
from ..preflight import PrintLimits
from .changes import Change, Likeness
from .codes import CodeReading, judge_codes, read_codes
from .comparing import liken
from .given import GivenArt
from .judging import judge_likeness


@dataclass(frozen=True, eq=False)
class Judgement:
    """What a print has of the art as given. ``codes``: one reading for each code that stands in the art."""

    likeness: Likeness
    codes: tuple[CodeReading, ...]
    findings: tuple[Finding, ...]

    def as_record(self) -> dict[str, Any]:
        """Return plain data for a report; lengths in mm, areas in mm²."""
        return {**self.likeness.as_record(), "codes": [code.as_record() for code in self.codes]}


def judge_by_art(
    printed: MultiPolygon,
    given: GivenArt,
    limits: PrintLimits,
    accept: Sequence[str] = (),
    *,
    screen: MultiPolygon | None = None,
) -> Judgement:
    """Judge what was printed by the art as given; both mm, paper frame.

    ``limits`` say how far ink creeps past every edge and below which size an island is a speck; kinds in ``accept``
    do not block. ``screen``: the dots as they were meant, where art is screened: it is then
    judged by tone. Codes are judged by whether they read, not by their modules' outlines.
    """
    likeness = _likened(printed, given, limits, screen)
    readings = read_codes(printed, given.inked, given.codes)
    findings = (
        *judge_likeness(
            _outside(likeness.changes, given), given.letters, inked=given.inked, speck=limits.speck, accept=accept
        ),
        *judge_codes(readings, accept=accept),
    )
    return Judgement(likeness, readings, by_severity(findings))


def _likened(printed: MultiPolygon, given: GivenArt, limits: PrintLimits, screen: MultiPolygon | None) -> Likeness:
    """Compare a print with the art; of a repeat sums are its own, and what changes is seen beside its neighbours."""
    repeat, spread, laid = given.repeat, limits.spread, limits.line_blocks
    likeness = liken(printed, given.inked, spread=spread, laid=laid, screen=screen)
    if repeat is None or screen is not None:
        return likeness
    art, ink = repeat.around(given.inked), repeat.around(printed)
    if art is given.inked and ink is printed:
        return likeness
    changes = liken(ink, art, spread=spread, laid=laid).changes
    within = repeat.holds([change.at.coords[0] for change in changes]) if changes else ()
    return replace(likeness, changes=tuple(each for each, kept in zip(changes, within, strict=True) if kept))


def _outside(changes: tuple[Change, ...], given: GivenArt) -> list[Change]:
    if not given.codes:
        return list(changes)
    places = all_joined([code.place for code in given.codes])
    return [change for change in changes if not shapely.intersects(places, change.at)]
