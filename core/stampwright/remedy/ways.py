"""Ways to pass: larger, through a finer nozzle, repaired, redrawn, or several of these; each is tried as a whole."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import shapely

from ..artwork import Artwork
from ..errors import StampwrightError
from ..examination import Examination, examine_job
from ..face import Grey
from ..findings import Finding
from ..job import Job
from ..job.kinds import SPECK, THIN_LINE
from ..layout import TOO_LARGE
from ..looks.numbers import spoken
from ..memory import Memory
from .searching import first_that_passes, least_that_passes
from .way import Way

NOZZLES = (1.0, 0.8, 0.6, 0.5, 0.4, 0.35, 0.3, 0.25, 0.2, 0.15, 0.1)
"""Bores of nozzles that are sold, mm, the widest first (common practice)."""

LARGEST_WAY = 8.0
"""Artwork is made at most this many times as large."""

BOLD = 700.0
"""Weight of a family's bold cut (OpenType, usWeightClass)."""

LEAST_SPACING, MOST_SPACING = 0.01, 0.2
"""Space between letters that is tried, as a share of the type's size; words fall apart with more."""

_SLACK = 0.05
"""A step that is missed by this share of it is not gone up to: widths are measured less exactly than that."""

_STEP = 0.5
"""Widths of artwork are given in such steps, mm, rounded up."""

MOST_REPAIRED, MOST_SEARCHED = 20_000, 10_000
"""Outline points of artwork that repair is tried on, and that sizes and nozzles are searched for together with repair:
it takes a second or so for each 2,000, and a search some ten times that. Traced photographs have more."""

REPAIRS: Mapping[str, Mapping[str, Any]] = {
    "repair it": {"preflight.repair": True, "preflight.repair_by": "outlines"},
    "redraw it by its middle lines": {"preflight.repair": True, "preflight.repair_by": "middle-lines"},
}
"""What repair may do, by what it is called."""


def ways_to_pass(
    job: Job,
    artwork: Artwork,
    *,
    picture: Grey | None = None,
    examined: Examination | None = None,
    read: Callable[[Job], Artwork] | None = None,
) -> tuple[Way, ...]:
    """Return ways to make artwork pass that is blocked, those that change least first; none when nothing blocks.

    Each way was tried: with its settings nothing blocks, neither of what preflight finds nor of what a reader would
    miss. Sizes are the smallest, to 3 %, and nozzles the widest of those that are sold. ``examined``: the
    examination as it stands, where there is one. ``read``: reads the artwork anew by a job's settings; with it, text
    that the program sets may be set bolder or wider. Raises :class:`~stampwright.errors.StampwrightError` when the
    artwork cannot be laid out at all.
    """
    now = examined or examine_job(job, artwork, picture=picture)
    if not now.blocked:
        return ()
    trials = _Trials(job, artwork, picture, now, read)
    return tuple(_once(_found(trials)))


def _found(trials: _Trials) -> Iterator[Way]:
    points = shapely.get_num_coordinates(trials.now.laid.layout.inked)
    repairs = REPAIRS if points <= MOST_REPAIRED else {}
    repaired = [Way(_said(what), change, seen) for what, change in repairs.items() if (seen := trials.passed(change))]
    if any(finding.kind == TOO_LARGE for finding in trials.now.blocked):
        fitted = {"layout.size_by": "fit"}
        if seen := trials.passed(fitted):
            yield Way("Fit it to the base", fitted, seen)
    yield from repaired
    yield from _set_otherwise(trials)
    yield from _larger(trials, {}, "")
    yield from _finer(trials, {}, "")
    if not repaired and points <= MOST_SEARCHED:
        for what, change in repairs.items():
            yield from _larger(trials, change, f"{what} and ")
            yield from _finer(trials, change, f"{what} and ")
    if points <= MOST_REPAIRED:
        yield from _without_warnings(trials)


def _set_otherwise(trials: _Trials) -> Iterator[Way]:
    """Yield text in a bolder cut, set wider, or both, where artwork has text that the program sets."""
    if trials.read is None or not trials.artwork.letters:
        return
    wider = list(_wider(trials, {}, "set its letters"))
    yield from wider
    bold = {"tracing.text_weight": BOLD}
    if seen := trials.passed(bold):
        yield Way("Set its text in the bold cut", bold, seen)
    elif not wider:
        apart = list(_wider(trials, bold, "set its text in the bold cut, the letters"))
        yield from apart or _larger(trials, bold, "set its text in the bold cut and ")


def _wider(trials: _Trials, change: Mapping[str, Any], what: str) -> Iterator[Way]:
    """Yield the least space between letters with which nothing blocks."""

    def spaced(by: float) -> dict[str, Any]:
        return {**change, "tracing.text_spacing": round(by, 3)}

    by = least_that_passes(lambda by: trials.passed(spaced(by)) is not None, LEAST_SPACING, MOST_SPACING)
    seen = None if by is None else trials.passed(spaced(by))
    if by is not None and seen is not None:
        yield Way(_said(f"{what} {spoken(round(100 * by, 1))} % of their size further apart"), spaced(by), seen)


def _larger(trials: _Trials, change: Mapping[str, Any], what: str) -> Iterator[Way]:
    """Yield the smallest size at which nothing blocks."""
    low = 1.0 if change else max(1.0, _least_factor(trials.now.blocked))
    factor = least_that_passes(lambda by: trials.passed(change, by) is not None, low, trials.largest)
    yield from trials.way(factor, change, what)


def _without_warnings(trials: _Trials) -> Iterator[Way]:
    """Yield the smallest size at which preflight does not even warn, if there is one."""
    warned = [finding for finding in trials.now.findings if finding.severity in ("blocks", "warns")]
    low = max(1.0, _least_factor(warned))

    def passes(by: float) -> bool:
        seen = trials.passed({}, by)
        return seen is not None and not any(finding.severity == "warns" for finding in seen.findings)

    yield from trials.way(least_that_passes(passes, low, trials.largest), {}, "")


def _finer(trials: _Trials, change: Mapping[str, Any], what: str) -> Iterator[Way]:
    """Yield the widest nozzle, finer than that of the job, through which nothing blocks."""
    printer = trials.job.printer

    def through(nozzle: float) -> dict[str, Any]:
        # Half the bore is the usual most for the layers of fine work (common practice).
        return {**change, "printer.nozzle": nozzle, "printer.layer": min(printer.layer, nozzle / 2)}

    finer = [nozzle for nozzle in NOZZLES if nozzle < printer.nozzle - 1e-9]
    nozzle = first_that_passes(lambda bore: trials.passed(through(bore)) is not None, finer)
    seen = None if nozzle is None else trials.passed(through(nozzle))
    if nozzle is not None and seen is not None:
        yield Way(_said(f"{what}print it through a nozzle of {spoken(nozzle)} mm"), through(nozzle), seen)


def _least_factor(findings: tuple[Finding, ...] | list[Finding]) -> float:
    """Return how many times larger artwork must be at least for what is too small in it to keep its limits."""
    factors = [
        finding.limit / finding.measured
        for finding in findings
        if finding.kind in (THIN_LINE, SPECK) and finding.limit and finding.measured
    ]
    return max(factors, default=1.0)


def _once(ways: Iterator[Way]) -> Iterator[Way]:
    """Yield each way once: the same settings may come about twice."""
    seen: list[Mapping[str, Any]] = []
    for way in ways:
        if way.settings not in seen:
            seen.append(way.settings)
            yield way


def _said(what: str) -> str:
    return what[0].upper() + what[1:]


@dataclass(frozen=True, eq=False)
class _Trials:
    """Trials of one artwork with other settings; what was tried once is kept."""

    job: Job
    artwork: Artwork
    picture: Grey | None
    now: Examination
    read: Callable[[Job], Artwork] | None = None
    kept: dict[tuple[Any, ...], Examination | None] = field(default_factory=dict)
    memory: Memory = field(default_factory=Memory)

    @property
    def width(self) -> float:
        """Width of the artwork as it stands, mm."""
        left, _, right, _ = self.now.given.inked.bounds
        return float(right - left)

    @property
    def largest(self) -> float:
        """The largest factor by which base and artwork still go onto the bed."""
        left, bottom, right, top = self.now.laid.layout.base.bounds
        bed = self.job.printer.bed_width, self.job.printer.bed_depth
        across, along = sorted((right - left, top - bottom))
        onto_bed = min(min(bed) / across, max(bed) / along)
        return float(min(LARGEST_WAY, onto_bed, 300.0 / max(self.width, 1e-6)))

    def passed(self, change: Mapping[str, Any], by: float = 1.0) -> Examination | None:
        """Return the examination with some settings, the artwork ``by`` times as large, or None when that blocks."""
        values = {**change, **self.sized(by)}
        key = tuple(sorted((name, repr(value)) for name, value in values.items()))
        if key not in self.kept:
            self.kept[key] = self._tried(values)
        return self.kept[key]

    def way(self, factor: float | None, change: Mapping[str, Any], what: str) -> Iterator[Way]:
        """Yield the way of a larger size, if there is a factor."""
        seen = None if factor is None else self.passed(change, factor)
        if factor is None or seen is None:
            return
        values = {**change, **self.sized(factor)}
        left, bottom, right, top = seen.given.inked.bounds
        size = f"{spoken(round(right - left, 1))} x {spoken(round(top - bottom, 1))} mm"
        yield Way(_said(f"{what}make it {size}, {spoken(round(factor, 2))} times as large"), values, seen)

    def sized(self, by: float) -> dict[str, Any]:
        """Return the settings that make artwork and base ``by`` times as large; none for the size there is."""
        if by <= 1.0:
            return {}
        base = self.job.base
        values: dict[str, Any] = {
            "layout.size_by": "width",
            "layout.width": math.ceil(by * self.width / _STEP - _SLACK) * _STEP,
        }
        if base.outline == "custom":
            values["base.points"] = [(by * x, by * y) for x, y in base.points]
        elif base.outline != "follow":
            values["base.width"] = float(math.ceil(by * base.width - _SLACK))
            if base.outline != "round":
                values["base.height"] = float(math.ceil(by * base.height - _SLACK))
        return values

    def _tried(self, values: Mapping[str, Any]) -> Examination | None:
        try:
            job = self.job.with_values(dict(values))
            set_anew = self.read is not None and any(name.startswith("tracing.text_") for name in values)
            artwork = self.read(job) if self.read is not None and set_anew else self.artwork
            seen = examine_job(job, artwork, picture=self.picture, memory=self.memory)
        except StampwrightError:
            return None
        return None if seen.blocked else seen
