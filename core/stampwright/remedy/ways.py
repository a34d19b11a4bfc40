"""Ways to pass: larger, through a finer nozzle, repaired, redrawn, or several of these; each is tried as a whole."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from ..artwork import Artwork
from ..artwork.kinds import TONES_IN_BITMAP
from ..artwork.pdf import is_pdf
from ..examination import Examination, examine_job
from ..face import Grey
from ..findings import total
from ..job import Job
from ..job.kinds import THIN_LINE
from ..layout.room import other_place
from ..looks.numbers import spoken
from ..memory import Share
from .searching import CLOSE_ENOUGH, climbed, first_that_passes, least_that_passes
from .trials import MOST_WORK, SIZED, TYPESETTING, Trials, lacking, least_factor
from .way import Way, Ways

NOZZLES = (1.0, 0.8, 0.6, 0.5, 0.4, 0.35, 0.3, 0.25, 0.2, 0.15, 0.1)
"""Bores of nozzles that are sold, mm, the widest first (common practice)."""

BOLD = 700.0
"""Weight of a family's bold cut (OpenType, usWeightClass)."""

LEAST_SPACING, MOST_SPACING = 0.01, 0.2
"""Space between letters that is tried, as a share of the type's size; words fall apart with more."""

REPAIRED_CLOSE = 1.15
"""How close the smallest size is found for repaired artwork, as a factor: each trial of it takes as long as ten."""

_LIGHT = 0.4
"""Share of the work that is left which a trial may take whose outcome is in doubt."""

_LONG_STEP = 1.4
"""Steps by which sizes are gone up where each trial takes long, or one size says little of the next."""

_MOST_GUESSED = 2.0
"""Factor that sizes of repaired artwork are gone up from at the most."""

_TELLING, _HARDLY_LESS = 1.3, 0.9
"""How many times larger artwork is when it tells whether that helps, and the share of what blocks that still does where
it does not."""

_TONE = "tracing.tone"

OUTLINES: Mapping[str, Any] = {"preflight.repair": True, "preflight.repair_by": "outlines"}
MIDDLE_LINES: Mapping[str, Any] = {"preflight.repair": True, "preflight.repair_by": "middle-lines"}

_MENDED = (
    ("repair it", "repair", OUTLINES),
    ("redraw it by its middle lines", "redrawing by middle lines", MIDDLE_LINES),
)
"""What repair may do, by what it is called as a way and as what is looked for."""


def ways_to_pass(
    job: Job,
    artwork: Artwork,
    *,
    picture: Grey | None = None,
    examined: Examination | None = None,
    repaired: Examination | None = None,
    read: Callable[[Job], Artwork] | None = None,
    work: float = MOST_WORK,
    anew: tuple[str, ...] = (TYPESETTING,),
    progress: Share | None = None,
) -> Ways:
    """Return ways to make artwork pass that is blocked, those that change least first; none when nothing blocks.

    Each way was tried: with its settings nothing blocks, neither of what preflight finds nor of what a reader would
    miss. Sizes are the smallest, to 3 % (to 15 % for repaired artwork), and nozzles the widest of those that are sold.
    The search ends at some ``work``, in outline points examined, while nothing passes at
    :data:`~.trials.PATIENCE` times that, and says so. ``examined``, ``repaired``: the
    examination as it stands, and with repair, where there is one. ``read``: reads the artwork anew by a job's
    settings, where one is changed whose path begins with any of ``anew``; with it, text that the program sets may be
    set bolder or wider. ``progress``: told how much of the work is done. Raises
    :class:`~stampwright.errors.StampwrightError` when the artwork cannot be laid out at all.
    """
    now = examined or examine_job(job, artwork, picture=picture)
    if not now.blocked:
        return Ways()
    known = {"outlines": repaired}
    if job.preflight.repair:
        known = {job.preflight.repair_by: now}
        now = examine_job(job.with_value("preflight.repair", False), artwork, picture=picture)
    trials = Trials(job, artwork, picture, now, read, work, (*anew, _TONE), progress)
    for _, _, change in _MENDED:
        if seen := known.get(change["preflight.repair_by"]):
            trials.know(change, seen)
    found = []
    for search in _SEARCHES:
        trials.sought = _SOUGHT[search]
        found += [(_RANKS.index(search), way) for way in search(trials)]
        if search is _screened and found:
            # A photograph is no line art, and what would mend it as such would take long and spoil it.
            break
    ways = [way for _, way in sorted(found, key=lambda each: each[0])]
    return Ways(tuple(_once(ways)), tuple(trials.missed), () if ways else tuple(trials.in_vain()))


def _as_it_is(trials: Trials) -> Iterator[Way]:
    """Yield artwork that repair alone keeps from being made."""
    if not trials.now.blocked:
        yield Way("Leave it without repair", trials.first, trials.now)


def _screened(trials: Trials) -> Iterator[Way]:
    """Yield a photograph whose tones are screened, in place of being cut in two."""
    if trials.read is None or not any(finding.kind == TONES_IN_BITMAP for finding in trials.now.findings):
        return
    for what, tone in (("Screen its tones into dots", "dots"), ("Screen its tones into lines", "lines")):
        if seen := trials.passed({_TONE: tone}):
            yield Way(what, trials.settings({_TONE: tone}), seen)
            return


def _elsewhere(trials: Trials) -> Iterator[Way]:
    """Yield artwork that overhangs, at its size with another middle or turned, where it fits its base so."""
    if not trials.overhangs:
        return
    layout, laid = trials.job.layout, trials.now.laid.layout
    other = other_place(trials.artwork, layout, trials.job.base, laid.base, laid.scale)
    change: dict[str, Any] = {path: float(value) if path == "layout.turn" else value for path, value in other.items()}
    if not change or (seen := trials.passed({**change, "layout.size_by": layout.size_by})) is None:
        return
    plain = {path: value for path, value in trials.first.items() if path != "layout.size_by"}
    turn, centre = other.get("layout.turn"), other.get("layout.centre")
    if centre is None:
        yield Way(f"Turn it to {turn}°, where it fits as large as it is", {**plain, **change}, seen)
    elif turn is None:
        yield Way(f"Centre it by {centre}, where it fits as large as it is", {**plain, **change}, seen)
    else:
        yield Way(f"Turn it to {turn}° and centre it by {centre}, where it fits", {**plain, **change}, seen)


def _fitted(trials: Trials) -> Iterator[Way]:
    """Yield artwork that overhangs, fitted to its base."""
    if trials.overhangs and (seen := trials.passed({})):
        yield Way("Fit it to the base", trials.first, seen)


def _repaired(trials: Trials) -> Iterator[Way]:
    """Yield artwork repaired, and where that does not do, repaired and larger, and repaired and printed finer."""
    if trials.overhangs and trials.passed({}):
        # All that was wrong is that it overhangs.
        return
    alone: list[Way] = []
    larger: list[Way] = []
    left: list[tuple[float, str, Mapping[str, Any], Examination | None]] = []
    for what, sought, change in _MENDED:
        # What is dense takes long to mend, and is worth it there only with more room.
        if trials.cost(change) <= _LIGHT * trials.affordable:
            tried = trials.tried(change)
            blocked = math.inf if tried is None else total(tried.findings, "blocks")
            alone += [Way(_said(what), trials.settings(change), tried)] if tried is not None and not blocked else []
            left.append((blocked, what, change, tried))
        elif larger:
            trials.miss(sought)
        else:
            larger += _at_size(trials, _mended_at(trials, change, None), change, f"{what} and ")
    yield from alone or larger
    # What leaves least is likeliest to leave nothing with more room.
    for _, what, change, tried in () if alone or larger else sorted(left, key=lambda each: each[0]):
        factor = _mended_at(trials, change, tried)
        yield from _at_size(trials, factor, change, f"{what} and ")
        if factor:
            # Size or base may be fixed: so much finer a nozzle, at least, is tried as well.
            trials.left = max(trials.left, trials.cost(change))
        yield from _finer(trials, change, f"{what} and ", guess=factor or _guessed(trials))


def _guessed(trials: Trials) -> float:
    """Return where to begin with repair: it goes about half the way, and what is far too small it takes away."""
    return min(math.sqrt(least_factor(trials.now.blocked)), _MOST_GUESSED, trials.largest)


def _mended_at(trials: Trials, change: Mapping[str, Any], alone: Examination | None) -> float | None:
    """Return the least factor of size at which nothing blocks repaired artwork; ``alone``: repaired at its size."""
    last = [1.0, math.inf if alone is None else total(alone.findings, "blocks")]

    def lack(by: float) -> float | None:
        seen = trials.tried(change, by)
        if seen is None or not seen.blocked:
            return None if seen is None else 1.0
        blocked = total(seen.findings, "blocks")
        if by >= _TELLING * last[0] and blocked > _HARDLY_LESS * last[1]:
            # Hardly less blocks when it is larger, as where lines meet in a point at any size.
            return None
        last[:] = [by, blocked] if by > last[0] else last
        return lacking(seen)

    # Where little is left of what is dense, there repair is cheap, and goes down from.
    guess = trials.largest if alone is None else lacking(alone)
    return climbed(lack, 1.0, trials.enough / CLOSE_ENOUGH, guess=max(guess, _TELLING), close=REPAIRED_CLOSE)


def _set_otherwise(trials: Trials) -> Iterator[Way]:
    """Yield text in a bolder cut, set wider, or both, where artwork has text that the program sets."""
    file = trials.artwork.sources.file
    if trials.read is None or not trials.artwork.letters or (file is not None and is_pdf(file.data)):
        # A PDF brings its letters drawn.
        return
    # Wider letters have the same strokes.
    wider = [] if _has_thin_lines(trials.now) else list(_wider(trials, {}, "set its letters"))
    yield from wider
    bold = {"tracing.text_weight": BOLD}
    if (seen := trials.passed(bold)) is not None:
        yield Way("Set its text in the bold cut", trials.settings(bold), seen)
    elif not wider:
        tried = trials.tried(bold)
        if tried is None or tried.given.inked.equals(trials.now.given.inked):
            # It is in its bold cut.
            return
        thin = _has_thin_lines(tried)
        apart = [] if thin else list(_wider(trials, bold, "set its text in the bold cut, the letters"))
        yield from apart or _larger(trials, bold, "set its text in the bold cut and ")
        yield from _finer(trials, bold, "set its text in the bold cut and ")


def _has_thin_lines(seen: Examination) -> bool:
    return any(finding.kind == THIN_LINE for finding in seen.blocked)


def _wider(trials: Trials, change: Mapping[str, Any], what: str) -> Iterator[Way]:
    """Yield the least space between letters with which nothing blocks."""

    def spaced(by: float) -> dict[str, Any]:
        return {**change, "tracing.text_spacing": round(by, 3)}

    def passes(by: float) -> bool:
        return trials.passed(spaced(by)) is not None

    # What comes to a twentieth of a letter more or less is not seen in the setting of a line.
    by = least_that_passes(passes, LEAST_SPACING, MOST_SPACING, guess=MOST_SPACING, close=1.05)
    seen = None if by is None else trials.passed(spaced(by))
    if by is not None and seen is not None:
        yield Way(
            _said(f"{what} {spoken(round(100 * by, 1))} % of their size further apart"),
            trials.settings(spaced(by)),
            seen,
        )


def _as_large_as_needed(trials: Trials) -> Iterator[Way]:
    ways = list(_larger(trials, {}, ""))
    yield from ways or _somewhat_larger(trials)


def _somewhat_larger(trials: Trials) -> Iterator[Way]:
    """Yield a size at which nothing blocks though a larger one does: where a hair grows that no eye saw before."""
    seen = trials.tried({}, trials.largest)
    if seen is not None and total(seen.findings, "blocks") > _HARDLY_LESS * total(trials.now.findings, "blocks"):
        # As much blocks at any size.
        return
    sizes = [_LONG_STEP**step for step in range(1, 1 + int(math.log(trials.largest, _LONG_STEP)))]
    if trials.points * len(sizes) <= _LIGHT * trials.affordable:
        factor = first_that_passes(lambda by: trials.passed({}, by) is not None, sizes)
        trials.enough = min(factor or trials.enough, trials.enough)
        yield from _at_size(trials, factor, {}, "")


def _larger(trials: Trials, change: Mapping[str, Any], what: str) -> Iterator[Way]:
    """Yield the smallest size at which nothing blocks.

    What would have to be as large without the change is none.
    """
    factor = least_that_passes(
        lambda by: trials.passed(change, by) is not None,
        1.0,
        trials.enough / CLOSE_ENOUGH if change else trials.largest,
        guess=_needed(trials, change),
    )
    if not change and factor is not None:
        trials.enough = min(factor, trials.enough)
    yield from _at_size(trials, factor, change, what)


def _at_size(trials: Trials, factor: float | None, change: Mapping[str, Any], what: str) -> Iterator[Way]:
    """Yield the way of a larger size, if there is a factor."""
    seen = None if factor is None else trials.passed(change, factor)
    if factor is None or seen is None:
        return
    values = trials.settings(change, factor)
    left, bottom, right, top = seen.given.inked.bounds
    size = f"{spoken(round(right - left, 1))} x {spoken(round(top - bottom, 1))} mm"
    if factor > 1.0:
        yield Way(_said(f"{what}make it {size}, {spoken(round(factor, 2))} times as large"), values, seen)
    elif trials.overhangs:
        yield Way(_said(f"{what}keep it {size}, on a larger base"), values, seen)


def _as_fine_as_needed(trials: Trials) -> Iterator[Way]:
    yield from _finer(trials, {}, "")


def _needed(trials: Trials, change: Mapping[str, Any]) -> float:
    """Return how many times too small for the printer the smallest thing is, where something is."""
    seen = trials.tried(change) if change or trials.overhangs else trials.now
    return 1.0 if seen is None else least_factor(seen.blocked)


def _finer(trials: Trials, change: Mapping[str, Any], what: str, *, guess: float | None = None) -> Iterator[Way]:
    """Yield the widest nozzle, finer than that of the job, through which nothing blocks; ``guess``: how much finer."""
    printer = trials.job.printer

    def through(nozzle: float) -> dict[str, Any]:
        # Half the bore is the usual most for the layers of fine work (common practice).
        return {**change, "printer.nozzle": nozzle, "printer.layer": min(printer.layer, nozzle / 2)}

    least = trials.fine_enough if change else 0.0
    finer = [nozzle for nozzle in NOZZLES if least < nozzle < printer.nozzle - 1e-9]
    needed = guess or _needed(trials, change)
    if needed <= 1.0:
        # What runs together in the ink does so behind any nozzle.
        return
    begin = sum(nozzle > printer.nozzle / needed for nozzle in finer)
    seen = trials.tried(through(finer[min(begin, len(finer) - 1)])) if finer else None
    if seen is not None and seen.blocked and not any(finding.kind in SIZED for finding in seen.blocked):
        # All is laid, and the ink closes what a still finer nozzle leaves open.
        return
    nozzle = first_that_passes(lambda bore: trials.passed(through(bore)) is not None, finer, guess=begin)
    done = None if nozzle is None else trials.passed(through(nozzle))
    if nozzle is not None and done is not None:
        trials.fine_enough = max(nozzle, trials.fine_enough) if not change else trials.fine_enough
        said = _said(f"{what}print it through a nozzle of {spoken(nozzle)} mm")
        yield Way(said, trials.settings(through(nozzle)), done)


def _without_warnings(trials: Trials) -> Iterator[Way]:
    """Yield the smallest size at which preflight does not even warn, if there is one."""
    warned = [finding for finding in trials.now.findings if finding.severity in ("blocks", "warns")]

    def passes(by: float) -> bool:
        seen = trials.passed({}, by)
        return seen is not None and not any(finding.severity == "warns" for finding in seen.findings)

    factor = least_that_passes(passes, 1.0, trials.largest, guess=least_factor(warned))
    yield from _at_size(trials, factor, {}, "")


def _once(ways: list[Way]) -> Iterator[Way]:
    """Yield each way once: the same settings may come about twice."""
    seen: list[Mapping[str, Any]] = []
    for way in ways:
        if way.settings not in seen:
            seen.append(way.settings)
            yield way


def _said(what: str) -> str:
    return what[0].upper() + what[1:]


_RANKS: tuple[Callable[[Trials], Iterator[Way]], ...] = (
    _as_it_is,
    _screened,
    _elsewhere,
    _fitted,
    _repaired,
    _set_otherwise,
    _as_large_as_needed,
    _as_fine_as_needed,
    _without_warnings,
)
"""Ways as they are said: what changes least comes first."""

_SEARCHES = (
    _as_it_is,
    _screened,
    _elsewhere,
    _fitted,
    _as_large_as_needed,
    _as_fine_as_needed,
    _set_otherwise,
    _repaired,
    _without_warnings,
)
"""Ways as they are looked for: what costs least comes first."""

_SOUGHT: dict[Callable[[Trials], Iterator[Way]], str] = {
    _as_it_is: "leaving it as it is",
    _screened: "screened tones",
    _elsewhere: "another place on the base",
    _fitted: "fitting it to the base",
    _as_large_as_needed: "a larger size",
    _as_fine_as_needed: "a finer nozzle",
    _set_otherwise: "text set otherwise",
    _repaired: "repair",
    _without_warnings: "a size at which nothing warns",
}
"""What each looks for, as it is said where there was no work left for it."""
