"""Making a set: coloured artwork parted into inks, laid out once, trapped, and a stamp made for each ink."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from shapely import affinity
from shapely.geometry import MultiPolygon

from ..artwork import Artwork
from ..artwork.coloured.patches import Coloured
from ..artwork.coloured.reading import make_coloured, read_coloured
from ..artwork.letters import Letter
from ..errors import ArtworkError, JobError
from ..examination import Examination, examine_job, limits_of
from ..findings import Finding, blocking, by_severity, with_name
from ..inks import (
    Misregister,
    Play,
    Separation,
    Trapped,
    play_by_hand,
    play_in_gauge,
    propose_inks,
    separate,
    throw_inks,
    trap_inks,
)
from ..inks.marking import register_marks
from ..job import Job
from ..job.pieces import set_bolder
from ..layout import Layout, lay_out, thin_outlines
from ..memory import Memory, Progress, Steps
from ..parts.gauge import Gauge, build_gauge, keyed_outline
from ..parts.on_bed import examine_parts
from ..plane.frames import on_grid
from ..plane.overlays import all_joined, joined
from ..plane.regions import sound_parts
from ..stamp import Stamp
from ..workshop import fitted_size, make_stamp, raise_stamp
from .plates import plate_artwork, plate_job
from .trapped import about_specks, about_traps

NO_GAUGE, NO_MARKS = "no gauge", "no room for register marks"


@dataclass(frozen=True, eq=False)
class InkSet:
    """Everything about a picture in several inks.

    ``job``: with its inks. ``layout``: of all the art, paper frame, mm, the middle of the base at the origin.
    ``separations``: before and ``trapped``: after trapping, in printing order. ``stamps``: one for each, likewise.
    ``play``: how far impressions miss each other. ``misregister``: what that shows. ``gauge``: None where there is
    none. ``findings``: those of the set itself; each stamp has its own.
    """

    job: Job
    layout: Layout
    whole: Artwork
    separations: tuple[Separation, ...]
    trapped: Trapped
    trap_width: float
    stamps: tuple[Stamp, ...]
    play: Play
    misregister: Misregister
    gauge: Gauge | None
    findings: tuple[Finding, ...]

    @property
    def colours(self) -> tuple[str, ...]:
        """The colours of the inks, in printing order."""
        return tuple(each.ink.colour for each in self.separations)

    @property
    def all_findings(self) -> tuple[Finding, ...]:
        """The findings of the set, and of each stamp with its ink told."""
        return _with_inks(self.findings, self.separations, self.stamps)

    @property
    def blocked(self) -> tuple[Finding, ...]:
        """The findings that keep the set from being made."""
        return blocking(self.all_findings)


def coloured_of(job: Job, path: str = "") -> Coloured:
    """Return the artwork of a job in its colours: of the file at ``path``, of the one that it names, or of its pieces.

    Raises :class:`~stampwright.errors.JobError` when there is none, and what reading raises.
    """
    path = path or job.artwork
    if path:
        layers = tuple(dict.fromkeys(layer for ink in job.inks for layer in ink.layers))
        return read_coloured(path, fitted_to=fitted_size(job), tracing=job.tracing, layers=layers)
    if not job.pieces:
        raise JobError("the job names no artwork and has no pieces: give it one of them, or give artwork beside it")
    if not job.inks:
        raise JobError("pieces print in inks that the job lists ([[inks]]): list them, and name one in each piece")
    pieces = set_bolder(job.pieces, job.tracing.text_weight, job.tracing.text_spacing)
    return make_coloured(pieces, name=job.name, fitted_to=fitted_size(job), first=job.inks[0].name)


def proposed_job(job: Job, coloured: Coloured) -> Job:
    """Return a job with the inks that are proposed for artwork; raises as :func:`~stampwright.inks.propose_inks`."""
    return replace(job, inks=propose_inks(coloured))


@dataclass(frozen=True, eq=False)
class PartedArt:
    """A picture in several inks before any stamp is built: :class:`InkSet` says what each of it is.

    ``letters``: those that are known to stand in it, mm, paper frame.
    """

    laid: Layout
    placed: tuple[Separation, ...]
    trapped: Trapped
    width: float
    play: Play
    gauge: Gauge | None
    findings: tuple[Finding, ...]
    letters: tuple[Letter, ...] = ()

    def plate(self, job: Job, name: str) -> tuple[Job, Artwork]:
        """Return what the stamp of one ink is made from, by the ink's name; ``job``: that of the set."""
        separation = next(each for each in self.trapped.separations if each.ink.name == name)
        return plate_job(job, separation, self.laid.base), plate_artwork(separation, self.laid.base, self.letters)


def make_set(job: Job, coloured: Coloured, *, progress: Progress | None = None, memory: Memory | None = None) -> InkSet:
    """Build every stamp of a set in several inks, and print them together in simulation.

    The set comes back even when findings block it. Raises :class:`~stampwright.errors.StampwrightError` when nothing
    can be built, and whatever ``progress`` raises.
    """
    steps, memory = Steps(progress), memory or Memory()
    steps.tell("part into inks", 0.0)
    parted = part_art(job, coloured)
    stamps = _stamps(job, parted, make_stamp, Steps(progress, 0.1, 0.95), memory)
    steps.tell("throw the inks", 0.95)
    return set_of(job, coloured, parted, stamps)


@dataclass(frozen=True, eq=False)
class RaisedSet:
    """A set whose stamps are built, in printing order, but not pressed: that waits for their files."""

    job: Job
    coloured: Coloured
    parted: PartedArt
    stamps: tuple[Stamp, ...]
    memory: Memory

    @property
    def blocked(self) -> tuple[Finding, ...]:
        """The findings that keep the set from being made whatever it prints."""
        return blocking(_with_inks(self.parted.findings, self.parted.placed, self.stamps))

    def printed(self, stamps: Sequence[Stamp]) -> InkSet:
        """Return the set with stamps that were pressed."""
        return set_of(self.job, self.coloured, self.parted, stamps)

    def as_built(self) -> InkSet:
        """Return the set with its stamps pressed as they were built; raises as :func:`make_set`."""
        return self.printed(_stamps(self.job, self.parted, make_stamp, Steps(), self.memory))


def raise_set(job: Job, coloured: Coloured, *, progress: Progress | None = None) -> RaisedSet:
    """Build every stamp of a set in several inks; raises as :func:`make_set`."""
    steps, memory = Steps(progress), Memory()
    steps.tell("part into inks", 0.0)
    parted = part_art(job, coloured)
    stamps = _stamps(job, parted, raise_stamp, Steps(progress, 0.2), memory)
    return RaisedSet(job, coloured, parted, stamps, memory)


def set_of(job: Job, coloured: Coloured, parted: PartedArt, stamps: Sequence[Stamp]) -> InkSet:
    """Return the set that stamps make, one for each ink in printing order, with what their impressions show."""
    misregister = throw_inks([stamp.impression.outlines for stamp in stamps], parted.play)
    return InkSet(
        job=job,
        layout=parted.laid,
        whole=coloured.whole,
        separations=parted.placed,
        trapped=parted.trapped,
        trap_width=parted.width,
        stamps=tuple(stamps),
        play=parted.play,
        misregister=misregister,
        gauge=parted.gauge,
        findings=by_severity((*parted.findings, *misregister.findings)),
    )


@dataclass(frozen=True, eq=False)
class ExaminedSet:
    """A picture in several inks before anything is built: parted, and each ink's ``plates`` examined, by its name."""

    job: Job
    parted: PartedArt
    plates: Mapping[str, Examination]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All there is to say, the gravest first; findings of a single ink have its name before them."""
        of_inks = (with_name(name, examined.findings) for name, examined in self.plates.items())
        return by_severity(chain(self.parted.findings, *of_inks))

    @property
    def blocked(self) -> tuple[Finding, ...]:
        """The findings that keep the set from being made."""
        return blocking(self.findings)


def examine_set(job: Job, coloured: Coloured) -> ExaminedSet:
    """Return what there is to say about a picture in several inks before anything is built.

    Raises as :func:`make_set` does.
    """
    parted = part_art(job, coloured)
    names = [separation.ink.name for separation in parted.trapped.separations]
    return ExaminedSet(job, parted, {name: examine_job(*parted.plate(job, name)) for name in names})


def part_art(job: Job, coloured: Coloured) -> PartedArt:
    """Part art into inks, lay it out, trap it, and say how far impressions will miss.

    Raises :class:`~stampwright.errors.StampwrightError` when job and art do not go together.
    """
    if not job.inks:
        raise JobError("the job has no inks: list them ([[inks]]), or let them be proposed (--inks auto)")
    if job.bend.form != "flat":
        raise JobError(f"bend.form = {job.bend.form}: inks are held in register by a flat gauge; set it to flat")
    separations, about_colours = separate(coloured, job.inks)
    laid, placed = _laid_out(job, coloured, separations)
    play, gauge, about_gauge = _register(job, laid)
    width = (job.register.trap or play.likely) if job.register.trapped else 0.0
    limits = limits_of(job)
    trapped = trap_inks(placed, width, gap=limits.counter)
    marked, about_marks = _marked(job, laid, trapped.separations)
    read = tuple(finding.moved(laid.matrix) for finding in (*coloured.whole.findings, *about_colours))
    letters = tuple(letter.moved(laid.matrix) for letter in coloured.whole.letters)
    told = (*about_traps(trapped), *about_specks(trapped, letters, limits.speck, job.preflight.accept))
    found = (*read, *about_gauge, *about_marks, *told)
    return PartedArt(laid, tuple(placed), replace(trapped, separations=marked), width, play, gauge, found, letters)


def _with_inks(
    found: Iterable[Finding], separations: Iterable[Separation], stamps: Iterable[Stamp]
) -> tuple[Finding, ...]:
    """Return findings of a set, and those of each stamp with the name of its ink, the gravest first."""
    of_inks = (with_name(each.ink.name, stamp.findings) for each, stamp in zip(separations, stamps, strict=True))
    return by_severity(chain(found, *of_inks))


def _laid_out(job: Job, coloured: Coloured, separations: Sequence[Separation]) -> tuple[Layout, tuple[Separation, ...]]:
    """Lay all the art out as one, and every ink with it; the middle of the base comes to the origin."""
    layout, base = job.layout, job.base
    if job.register.marks:
        room = job.register.mark_size + 2.0
        layout, base = replace(layout, margin=layout.margin + room), replace(base, margin=base.margin + room)
    whole = replace(coloured.whole, inked=_printed(coloured, separations))
    laid = thin_outlines(lay_out(whole, layout, base, job.die, job.printer), job.preflight.most_points)
    left, bottom, right, top = laid.base.bounds
    x, y = -(left + right) / 2, -(bottom + top) / 2
    a, b, d, e, right_by, up_by = laid.matrix
    matrix = (a, b, d, e, right_by + x, up_by + y)
    moved = replace(
        laid,
        matrix=matrix,
        inked=on_grid(affinity.translate(laid.inked, x, y)),
        base=on_grid(affinity.translate(laid.base, x, y)),
        findings=tuple(finding.moved((1, 0, 0, 1, x, y)) for finding in laid.findings),
    )
    placed = tuple(
        replace(each, region=sound_parts(on_grid(affinity.affine_transform(each.region, list(matrix)))))
        for each in separations
    )
    return moved, placed


def _printed(coloured: Coloured, separations: Sequence[Separation]) -> MultiPolygon:
    """Return all that prints; the whole art, where no colour of it is left out."""
    if sum(len(each.region.geoms) for each in separations) and abs(
        sum(each.region.area for each in separations) - coloured.whole.inked.area
    ) < 1e-6 * max(coloured.whole.inked.area, 1e-9):
        return coloured.whole.inked
    printed: MultiPolygon = sound_parts(all_joined([each.region for each in separations]))
    return printed


def _register(job: Job, laid: Layout) -> tuple[Play, Gauge | None, list[Finding]]:
    """Return how far impressions miss each other, the gauge that holds them, and what there is to say of it."""
    register, art = job.register, laid.inked
    gauge, found = None, []
    if register.gauge and job.backing.form == "plate":
        keyed = job.with_value("backing.key", True)
        gauge = build_gauge(laid.base, keyed)
        found = list(examine_parts((gauge.solid,), job.printer))
    elif register.gauge:
        found = [
            Finding(
                kind=NO_GAUGE,
                severity="warns",
                stage="build",
                message=f"backing.form is {job.backing.form}, so there is no plate that a gauge could hold; the inks "
                "are placed by eye",
                remedy="Set backing.form to plate, or register.gauge to false",
            )
        ]
    if register.measured:
        return play_by_hand(register.measured, art, measured=True), gauge, found
    if gauge is None:
        return play_by_hand(register.by_hand, art, measured=False), None, found
    outline = keyed_outline(laid.base, job.with_value("backing.key", True))
    return play_in_gauge(outline, register.clearance, register.sheet, art), gauge, found


def _marked(job: Job, laid: Layout, separations: Sequence[Separation]) -> tuple[tuple[Separation, ...], list[Finding]]:
    """Return separations with register marks, where they are asked for and have room."""
    if not job.register.marks:
        return tuple(separations), []
    line = max(job.printer.line_width * job.preflight.warn_lines, job.printer.line_width)
    marks = register_marks(laid.base, laid.inked, size=job.register.mark_size, line=line)
    if marks.is_empty:
        told = Finding(
            kind=NO_MARKS,
            severity="warns",
            stage="layout",
            message="The base has no room left and right of the art for register marks; none are printed",
            remedy="Make the base wider, or the art smaller (layout.margin), or register.mark_size less",
        )
        return tuple(separations), [told]
    marks = on_grid(marks)
    return tuple(replace(each, region=sound_parts(joined(each.region, marks))) for each in separations), []


def _stamps(job: Job, parted: PartedArt, make: Callable[..., Stamp], steps: Steps, memory: Memory) -> tuple[Stamp, ...]:
    """Return a stamp for each ink, in printing order, by one of the workshop's ways to make one."""
    names = [separation.ink.name for separation in parted.trapped.separations]
    stamps, share = [], (steps.until - steps.since) / len(names)
    for at, name in enumerate(names):
        told = Steps(steps.progress, steps.since + at * share, steps.since + (at + 1) * share)
        try:
            stamps.append(make(*parted.plate(job, name), progress=told.tell, memory=memory))
        except ArtworkError as error:
            raise ArtworkError(f"ink {name!r}: {error}") from error
    return tuple(stamps)
