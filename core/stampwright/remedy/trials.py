"""Trials: one artwork examined with other settings, within a stated amount of work."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import shapely

from ..artwork import Artwork
from ..errors import Cancelled, StampwrightError
from ..examination import Examination, examine_job
from ..face import Grey
from ..findings import Finding, counted, total
from ..job import Job
from ..job.kinds import FINE_CODE, SPECK, THIN_LINE
from ..job.sections.preflight import PreflightSection
from ..layout import TOO_LARGE, lay_out
from ..looks.numbers import spoken
from ..memory import Memory, Share
from ..parts import backing_outline
from ..preflight import NO_ROOM, can_mend

TYPESETTING = "tracing.text_"
"""How the paths of the settings begin by which text is set."""

LARGEST_WAY = 8.0
"""Artwork is made at most this many times as large."""

MOST_WORK = 260_000
"""Work that a search may take, in outline points examined once: some ten seconds of an ordinary processor. It is
counted and not timed, so that the same artwork always gets the same answer."""

PATIENCE = 2.5
"""As long as nothing passes a search may take so many times its work: rather a way late than none."""

_REPAIR, _NARROW_PLACE, _OUTLINE, _MIDDLES = 2, 400, 10, 32
"""What an examination with repair costs, in points: this many times the artwork's, and for each thing found and each mm
of outline so many, or by middle lines so many for each mm alone (measured on small type, hatchings, icons and maps)."""

_LEAST_LACKING, _MOST_LACKING = 1.25, 2.0
"""Repaired artwork that still blocks is tried larger by no less, and at once by no more: repair does the rest."""

_SLACK = 0.05
"""A step that is missed by this share of it is not gone up to: widths are measured less exactly than that."""

_STEP = 0.5
"""Widths of artwork are given in such steps, mm, rounded up."""


SIZED = (THIN_LINE, SPECK, FINE_CODE)
"""Kinds of findings about what is too small for the printer."""


@dataclass(eq=False)
class Trials:
    """Trials of one artwork with other settings; what was tried once is kept.

    ``now``: the examination as it stands, but for repair. ``read``: reads the artwork anew by a job's settings, where
    one is changed whose path begins with any of ``anew``. ``progress``: told the share of the work that is done.
    ``enough``, ``fine_enough``: the factor of size and the nozzle, mm, that do without anything else, as far as known.
    ``left``: work that may still be done, in points, and ``spare_work`` besides, until something passes; ``missed``:
    what it did not do for, in a few words each, by what is looked for, ``sought``. ``finest``: the finest nozzle, mm,
    that does not do without anything else; ``mended``: whether repair alone does not.
    """

    job: Job
    artwork: Artwork
    picture: Grey | None
    now: Examination
    read: Callable[[Job], Artwork] | None = None
    left: float = MOST_WORK
    anew: tuple[str, ...] = (TYPESETTING,)
    progress: Share | None = None
    sought: str = ""
    missed: list[str] = field(default_factory=list)
    kept: dict[tuple[Any, ...], Examination | None] = field(default_factory=dict)
    memory: Memory = field(default_factory=Memory)
    finest: float | None = None
    mended: bool = False

    def __post_init__(self) -> None:
        self.work = max(self.left, 1.0)
        self.spare_work = (PATIENCE - 1) * self.left
        self.points = int(shapely.get_num_coordinates(self.now.laid.layout.inked))
        self.outline = float(self.now.laid.layout.inked.length)
        overhangs = any(finding.kind == TOO_LARGE for finding in self.now.blocked)
        plain: dict[str, Any] = {"preflight.repair": False} if self.job.preflight.repair else {}
        self.know(plain, self.now)
        self.plain = {1.0: self.now}
        self.first = {**plain, "layout.size_by": "fit"} if overhangs else plain
        self.spare = self._room_on_base(overhangs=overhangs)
        self.enough, self.fine_enough = self.largest, 0.0

    @property
    def overhangs(self) -> bool:
        """Whether the artwork is too large for its base."""
        return "layout.size_by" in self.first

    @property
    def width(self) -> float:
        """Width of the artwork as it stands, mm."""
        left, _, right, _ = self.now.given.inked.bounds
        return float(right - left)

    @property
    def largest(self) -> float:
        """The largest factor by which artwork and base still go onto the bed, with the backing round that."""
        base, printer = self.now.laid.layout.base, self.job.printer
        left, bottom, right, top = base.bounds
        around = 2 * (backing_outline(base, self.job.backing).bounds[2] - right + printer.brim)
        bed = sorted((printer.bed_width - around, printer.bed_depth - around))
        across, along = sorted((right - left, top - bottom))
        onto_bed = self.spare * min(bed[0] / across, bed[1] / along)
        return float(min(LARGEST_WAY, onto_bed, 300.0 / max(self.width, 1e-6)))

    @property
    def affordable(self) -> float:
        """Work that the next trial may take, in points."""
        return self.left + self.spare_work

    def know(self, values: Mapping[str, Any], seen: Examination) -> None:
        """Keep an examination that was made before with some settings."""
        self.kept[_key(values)] = seen

    def passed(self, change: Mapping[str, Any], by: float = 0.0) -> Examination | None:
        """Return the examination with some settings, the artwork ``by`` times as large, or None when that blocks.

        None too when there is no work left for it.
        """
        seen = self.tried(change, by)
        return None if seen is None or seen.blocked else seen

    def tried(self, change: Mapping[str, Any], by: float = 0.0) -> Examination | None:
        """Return the examination, whether or not something blocks, or None when the artwork cannot be laid out so.

        None too when there is no work left for it.
        """
        values = self.settings(change, by)
        key = _key(values)
        if key not in self.kept:
            cost = self.cost(change, by)
            if cost > self.affordable:
                self.miss(self.sought)
                return None
            if self.progress is not None:
                self.progress(1.0 - self.left / self.work)
            self.spare_work -= max(cost - self.left, 0.0)
            self.left = max(self.left - cost, 0.0)
            seen = self.kept[key] = self._examined(values)
            if seen is not None and not change:
                self.plain[max(by, 1.0)] = seen
            if seen is not None and not seen.blocked:
                self.spare_work = 0.0
        if (seen := self.kept[key]) is not None and seen.blocked:
            self._note_vain(change, by)
        return seen

    def _note_vain(self, change: Mapping[str, Any], by: float) -> None:
        if change.get("preflight.repair"):
            self.mended |= by <= 1.0 and "printer.nozzle" not in change
        elif "printer.nozzle" in change and "tracing.text_weight" not in change:
            self.finest = min(self.finest or math.inf, change["printer.nozzle"])

    def in_vain(self) -> Iterator[str]:
        """Yield how far was gone without anything that passes, each in a few words."""
        by = max(self.plain)
        seen = self.plain[by]
        if by > 1.0 and seen.blocked:
            left, bottom, right, top = seen.given.inked.bounds
            size = f"{spoken(round(right - left, 1))} x {spoken(round(top - bottom, 1))}"
            yield f"no size up to {size} mm carries it ({total(seen.findings, 'blocks')} still block there)"
        if self.finest is not None:
            yield f"no nozzle down to {spoken(self.finest)} mm lays it"
        if self.mended:
            yield "repair does not mend all of it"

    def _nearest(self, by: float) -> Examination:
        """Return the examination without repair at the size next to one: as much is found there, nearly enough."""
        return self.plain[min(self.plain, key=lambda known: abs(math.log(known / by)))]

    def miss(self, sought: str) -> None:
        """Note that there is no work left for all of what is looked for."""
        if sought and sought not in self.missed:
            self.missed.append(sought)

    def settings(self, change: Mapping[str, Any], by: float = 0.0) -> dict[str, Any]:
        """Return all that a trial sets: with no repair but what it names, what overhangs fitted or on a larger base."""
        return {**self.first, **change, **self.sized(by)}

    def cost(self, change: Mapping[str, Any], by: float = 0.0) -> float:
        """Return the work that a trial takes, in points; with repair, by what is found without it."""
        if not change.get("preflight.repair"):
            return self.points
        seen = self._nearest(max(by, 1.0))
        wanted = self.job.with_values(dict(change)).preflight
        return _work_of_repair(self.points, self.outline * max(by, 1.0), seen.findings, wanted)

    def sized(self, by: float) -> dict[str, Any]:
        """Return the settings that make artwork ``by`` times as large; none where it is left at its size, by 0 or 1.

        The base grows with it as far as the artwork would not fit otherwise.
        """
        if by < 1.0 or (by == 1.0 and not self.overhangs):
            return {}
        base, more = self.job.base, by / self.spare
        values: dict[str, Any] = {
            "layout.size_by": "width",
            "layout.width": math.ceil(by * self.width / _STEP - _SLACK) * _STEP,
        }
        if more <= 1.0 or base.outline == "follow":
            return values
        if base.outline == "custom":
            values["base.points"] = [(more * x, more * y) for x, y in base.points]
        else:
            values["base.width"] = float(math.ceil(more * base.width - _SLACK))
            if base.outline != "round":
                values["base.height"] = float(math.ceil(more * base.height - _SLACK))
        return values

    def _room_on_base(self, *, overhangs: bool) -> float:
        """Return how many times larger the artwork could be on the base as it is; 1 where it fills it."""
        if self.job.base.outline == "follow":
            return 1.0
        job = self.job.with_value("layout.size_by", "fit")
        try:
            fitted = lay_out(self.artwork, job.layout, job.base, job.die, job.printer)
        except StampwrightError:
            return 1.0
        # Widths go up to the next step.
        room = fitted.scale / self.now.laid.layout.scale * (1 - _STEP / max(self.width, 10 * _STEP))
        return room if overhangs else max(1.0, room)

    def _examined(self, values: Mapping[str, Any]) -> Examination | None:
        try:
            job = self.job.with_values(dict(values))
            set_anew = any(name.startswith(self.anew) for name in values)
            artwork = self.read(job) if self.read is not None and set_anew else self.artwork
            seen = examine_job(job, artwork, picture=self.picture, memory=self.memory)
            if self.read is None or set_anew or seen.blocked or "layout.width" not in values:
                return seen
            # Larger artwork is read finer when it is made: what passes must do so then, too.
            finer = self.read(job)
            same = finer.inked.equals_exact(artwork.inked, 0.0)
            return seen if same else examine_job(job, finer, picture=self.picture, memory=self.memory)
        except Cancelled:
            raise
        except StampwrightError:
            return None


def work_of_repair(seen: Examination, wanted: PreflightSection) -> float:
    """Return the work that repair of artwork takes, in outline points, by what was found without it."""
    inked = seen.laid.layout.inked
    return _work_of_repair(int(shapely.get_num_coordinates(inked)), float(inked.length), seen.findings, wanted)


def _work_of_repair(points: int, outline: float, findings: Sequence[Finding], wanted: PreflightSection) -> float:
    if wanted.repair_by == "middle-lines":
        return _REPAIR * points + _MIDDLES * outline
    return _REPAIR * points + _NARROW_PLACE * sum(_mendable(findings, wanted)) + _OUTLINE * outline


def lacking(seen: Examination) -> float:
    """Return how many times larger repaired artwork should be tried next, by what still blocks it and wants room."""
    short = [finding for finding in seen.findings if finding.kind == NO_ROOM]
    factors = [finding.limit / finding.measured for finding in short if finding.limit and finding.measured]
    # Counters and what ran together in the ink tell no figure.
    return min(max(_LEAST_LACKING, least_factor(seen.blocked), *factors), _MOST_LACKING)


def least_factor(findings: Iterable[Finding]) -> float:
    """Return how many times larger artwork must be at least for what is too small in it to keep its limits."""
    factors = [
        finding.limit / finding.measured
        for finding in findings
        if finding.kind in SIZED and finding.limit and finding.measured
    ]
    return max(factors, default=1.0)


def _mendable(findings: Sequence[Finding], wanted: PreflightSection) -> Iterator[int]:
    """Yield how many places of each kind and severity repair takes on; of very many a note says how many there are."""
    listed = {(finding.kind, finding.severity) for finding in findings if can_mend(finding, wanted)}
    for kind, severity in listed:
        yield counted(findings, severity)[kind]


def _key(values: Mapping[str, Any]) -> tuple[Any, ...]:
    return tuple(sorted((name, repr(value)) for name, value in values.items()))
