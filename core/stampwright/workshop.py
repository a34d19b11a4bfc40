"""The whole job in order: artwork in, a proven stamp out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from pathlib import Path

import shapely
from shapely.geometry import MultiPolygon

from .artwork import Artwork, make_artwork, read_artwork
from .artwork.drawn import Line, Shape, draw_artwork, extent_of
from .curved import Bend
from .errors import ArtworkError, JobError
from .examination import about_artwork, examine_job, lay_out_job, limits_of
from .examination.laying import Laid
from .face import FaceMap, Grey
from .face.textures.texturing import recall_sculpt
from .files.whole import digest_at
from .findings import Finding, by_severity
from .job import Job
from .job.heights import snap_heights
from .job.pieces import set_bolder
from .layout import ASKEW, OFF_BED, SMALLEST_INK, lay_out
from .likeness import GivenArt, Judgement, judge_by_art
from .memory import Memory, Progress, Steps
from .output import Written, check_folder, write_folder
from .output.proving import BlockedInPrintError
from .output.wanted import ALL, Wanted
from .parts import Measures, build_cushion
from .parts.on_bed import examine_parts
from .parts.rolling import as_printed
from .preflight import examine
from .press import Impression, impress, impress_uneven, ink_of, spread_ink, stated_conditions
from .raising import Raised, back, handle_of, make_sure, measure_parts, raise_die
from .solids import Solid
from .stamp import Stamp
from .version import __version__

TOLERANCE = 0.005
"""How far a straight piece of drawn artwork may stray from its curve on paper, mm; an eighth of a pixel at 600 dpi."""

PEN_ERROR = 5e-4
"""How far a pen's width on paper may be off, as a share of it: 3 mm come as 3.00."""

MOST_DRAWN = 12
"""How often a drawing is drawn anew to find how wide its pens must be; three times do mostly."""

BUILDING = 0.6
"""Share of the whole work that building takes, the rest being writing and proving (measured on art of 3,000 points)."""


@dataclass(frozen=True, eq=False)
class Extras:
    """What shapes a face in place of the files that its job names: a sculpt, and a picture, (rows, columns), 0 to 1."""

    sculpt: FaceMap | None = None
    picture: Grey | None = None


def make_stamp(
    job: Job,
    artwork: Artwork,
    *,
    sculpt: FaceMap | None = None,
    picture: Grey | None = None,
    progress: Progress | None = None,
    memory: Memory | None = None,
) -> Stamp:
    """Build every part of a stamp from its job and artwork, and press it on paper in simulation.

    The stamp comes back even when findings block it, so that they can be shown in place; ``stamp.blocked`` holds them.
    ``sculpt``: shapes the face on top of its grain, in place of the file ``face.sculpt``; ``picture``: for the face's
    texture or tone, (rows, columns), 0 dark to 1 light, top row first, in place of the file ``face.picture``.
    ``memory``: what was made before; stages whose beginnings are still the same are not run again.
    Raises :class:`~stampwright.errors.StampwrightError` when nothing can be built, and whatever ``progress`` raises.
    """
    return _make(job, artwork, Steps(progress), memory or Memory(), Extras(sculpt, picture))


def raise_stamp(job: Job, artwork: Artwork, *, progress: Progress | None = None, memory: Memory | None = None) -> Stamp:
    """Build every part of a stamp as :func:`make_stamp` does, but do not press it: for one whose files are proven next.

    Raises as :func:`make_stamp` does, such as :class:`~stampwright.errors.JobError` and
    :class:`~stampwright.errors.ArtworkError`.
    """
    return _make(job, artwork, Steps(progress), memory or Memory(), Extras(), pressed=False)


def make_die(
    job: Job,
    artwork: Artwork,
    *,
    sculpt: FaceMap | None = None,
    picture: Grey | None = None,
    memory: Memory | None = None,
) -> Solid:
    """Build the die of a stamp and nothing else: laid out, repaired and textured as the job asks, face up, mm.

    Arguments are those of :func:`make_stamp`. Nothing is examined: :func:`examine_artwork` says what would not print.
    Raises :class:`~stampwright.errors.StampwrightError` when it cannot be built.
    """
    _check_given(job, artwork)
    memory = memory or Memory()
    sculpt = sculpt if sculpt is not None else recall_sculpt(job.face.sculpt, memory)
    raised = raise_die(job, lay_out_job(job, artwork, memory, picture=picture), memory, sculpt=sculpt)
    make_sure(raised, memory)
    return raised.solid


def examine_artwork(job: Job, artwork: Artwork, *, picture: Grey | None = None) -> tuple[Finding, ...]:
    """Return all there is to say about artwork before anything is built, the gravest first; repaired if the job asks.

    That is what would not print of it, and what a reader would miss of the art as given in what prints.
    ``picture``: for the ink's tone, as for :func:`make_stamp`.
    Raises :class:`~stampwright.errors.StampwrightError` when the artwork cannot be laid out.
    """
    _check_given(job, artwork)
    return examine_job(job, artwork, picture=picture).findings


def make_files(
    job: Job,
    artwork: Artwork,
    folder: str | Path,
    *,
    sculpt: FaceMap | None = None,
    picture: Grey | None = None,
    overwrite: bool = False,
    progress: Progress | None = None,
    wanted: Wanted = ALL,
    memory: Memory | None = None,
) -> tuple[Stamp, Written | None]:
    """Make a stamp and write all its files, proven from the files themselves, into a folder.

    ``sculpt`` and ``picture`` are as for :func:`make_stamp`; a sculpt is written beside the die, so that the written
    job makes the same stamp again. ``wanted``: which files, where not all; ``memory``: what was made before, for stamps
    made one after the other that have parts in common.
    Returns the stamp and what was written: None when a finding blocks the stamp, and then the folder is untouched.
    Raises :class:`~stampwright.errors.OutputError` when files are there already (unless ``overwrite``) or cannot be
    written, :class:`~stampwright.errors.ProofError` when the written die does not print the artwork, and what
    :func:`make_stamp` raises, such as :class:`~stampwright.errors.JobError` and
    :class:`~stampwright.errors.ArtworkError`.
    """
    _check_given(job, artwork)
    check_folder(folder, overwrite=overwrite, job=job, sources=artwork.sources)
    steps = Steps(progress, until=BUILDING)
    memory = memory or Memory()
    stamp = _make(job, artwork, steps, memory, Extras(sculpt, picture), pressed=False)
    rest = Steps(progress, since=BUILDING)
    if stamp.blocked:
        return _make(job, artwork, rest, memory, Extras(sculpt, picture)), None
    try:
        written = write_folder(
            folder,
            stamp,
            overwrite=overwrite,
            progress=rest.tell,
            timings=steps.seconds,
            version=__version__,
            wanted=wanted,
            memory=memory,
        )
    except BlockedInPrintError as blocked:
        return blocked.stamp, None
    return written.stamp, written


def artwork_of(job: Job) -> Artwork:
    """Return the artwork that a job names or has the pieces of, as fine as its size asks.

    Where one of the files that the job says it was made from is another by now, a finding names it. Raises
    :class:`~stampwright.errors.JobError` when the job has no artwork, :class:`~stampwright.errors.ArtworkError` when it
    cannot be read or made.
    """
    if job.artwork:
        artwork = read_artwork(job.artwork, fitted_to=fitted_size(job), tracing=job.tracing)
    elif job.pieces:
        pieces = set_bolder(job.pieces, job.tracing.text_weight, job.tracing.text_spacing)
        artwork = make_artwork(pieces, name=job.name, fitted_to=fitted_size(job))
    else:
        raise JobError("the job names no artwork and has no pieces: give it one of them, or give artwork beside it")
    changed = tuple(_changed(name) for name, digest in job.made_from if digest_at(name) not in ("", digest))
    return replace(artwork, findings=(*artwork.findings, *changed)) if changed else artwork


def _changed(name: str) -> Finding:
    return Finding(
        kind="artwork changed",
        severity="warns",
        stage="artwork",
        message=f"{name} is not the file any more that the job was made from: its SHA-256 is another.",
        remedy="Put the former file back for the same stamp, or go on for one of the file as it is.",
    )


def fitted_size(job: Job) -> float:
    """Return how long the longer side of the ink will be at most on this job's base, mm.

    It is what :func:`~stampwright.read_artwork` takes as ``fitted_to``, so that curves are fine enough at final size.
    """
    sizes = {
        "fit": _longer_side(job),
        "drawn": _longer_side(job),
        # The other side may be the longer one; ten to one is a long line of lettering.
        "width": 10 * job.layout.width,
        "height": 10 * job.layout.height,
        # Nothing is enlarged: the smallest size there is leaves the reader's own tolerance in force.
        "page": 1.0,
    }
    # Nothing larger than the bed is ever printed.
    return min(sizes[job.layout.size_by], max(job.printer.bed_width, job.printer.bed_depth))


def _longer_side(job: Job) -> float:
    """Return the longer side of the job's base, mm; of one that follows the ink, that of the room it is made for."""
    base = job.laid_on
    if base.outline != "custom" or not base.points:
        return max(base.width, base.height)
    left, bottom, right, top = shapely.MultiPoint(base.points).bounds
    return float(max(right - left, top - bottom))


def draw_for(job: Job, shapes: Sequence[Shape], *, name: str = "") -> Artwork:
    """Return the artwork of shapes drawn elsewhere, its curves as fine as they need be at the job's size.

    Lines that have their width on paper keep it, whatever the magnification. Raises
    :class:`~stampwright.errors.ArtworkError` when nothing would print.
    """
    if not shapes:
        raise ArtworkError("there is nothing drawn: add a curve, a text or a flat mesh as artwork")
    width, height = extent_of(shapes)
    if not (math.isfinite(width) and math.isfinite(height)):
        raise ArtworkError(f"{name or 'the drawing'} has points that are nowhere (not a number); draw it anew")
    if not max(width, height) > SMALLEST_INK:
        raise ArtworkError(f"{name or 'the drawing'} has no size: there is nothing to print")
    wanted = {
        "fit": fitted_size(job) / max(width, height),
        "drawn": fitted_size(job) / max(width, height),
        "width": job.layout.width / max(width, SMALLEST_INK),
        "height": job.layout.height / max(height, SMALLEST_INK),
        "page": 1.0,
    }
    magnification = wanted[job.layout.size_by]
    artwork = draw_artwork(shapes, name=name, tolerance=TOLERANCE / magnification, magnification=magnification)
    if job.layout.size_by == "page" or not any(isinstance(shape, Line) and shape.on_paper for shape in shapes):
        return artwork
    # How wide lines on paper must be drawn follows from a magnification that follows from how wide they are drawn.
    tried: list[tuple[float, float]] = []
    for _ in range(MOST_DRAWN):
        came = lay_out(artwork, job.layout, job.laid_on, job.die, job.printer).scale
        if abs(came / magnification - 1) < PEN_ERROR:
            break
        tried.append((magnification, came))
        magnification = _better_magnification(tried)
        artwork = draw_artwork(shapes, name=name, tolerance=TOLERANCE / magnification, magnification=magnification)
    return artwork


def _better_magnification(tried: Sequence[tuple[float, float]]) -> float:
    """Return where drawn and laid out will come closer to each other, by the secant through the last two tries."""
    at, came = tried[-1]
    if len(tried) < 2:
        return came
    before, came_before = tried[-2]
    slope = (came - came_before) / (at - before) if at != before else 0.0
    better = at + (came - at) / (1 - slope) if slope < 0.9 else came
    return better if better > 0 else came


def _make(job: Job, artwork: Artwork, steps: Steps, memory: Memory, extras: Extras, *, pressed: bool = True) -> Stamp:
    """Take the stages in order: what is seen at once first, what depends on the rest last; ``pressed``: press, too."""
    _check_given(job, artwork)
    recall = memory.recall
    with steps.timing("lay out", 0.0):
        laid = lay_out_job(job, artwork, memory, picture=extras.picture)
        inked, base = laid.layout.inked, laid.layout.base
    with steps.timing("raise the die", 0.1):
        die = raise_die(job, laid, memory, sculpt=extras.sculpt or recall_sculpt(job.face.sculpt, memory))
    with steps.timing("build backing", 0.3):
        backing, bend = back(job, base, die.bend, memory)
        cushion = recall(build_cushion, base, job.cushion)
    with steps.timing("examine", 0.35):
        make_sure(die, memory)
        examined = recall(examine, laid.layout, job.preflight, limits_of(job))
    with steps.timing("build handle", 0.55):
        handle, about_handle = handle_of(job, base, inked, bend, memory)
    given = recall(GivenArt.placed, artwork, laid.layout.matrix, laid.layout.repeat)
    impression, judgement = Impression.not_pressed(die.outlines), None
    if pressed:
        with steps.timing("press", 0.75):
            impression = _press(job, die, memory)
        with steps.timing("compare with the art", 0.85):
            judgement = _judge(job, die, impression, given, memory, screened=laid.screened)
    with steps.timing("measure", 0.9):
        measures, on_bed = _measured(job, (die.solid, backing, handle), bend, memory)
    said = [_about_art(job, artwork, laid), examined, die.findings, about_handle, impression.findings, on_bed]
    return Stamp(
        job=job,
        layout=laid.layout,
        inked=inked,
        outlines=die.outlines,
        repair=laid.repair,
        die=die.solid,
        backing=backing,
        cushion=cushion,
        handle=handle,
        impression=impression,
        findings=by_severity(chain(*said, judgement.findings if judgement else ())),
        measures=measures,
        face=die.face,
        picture=laid.picture,
        given=given,
        judgement=judgement,
        screened=laid.screened,
        sources=artwork.sources,
        bend=bend,
        unbent=None if bend is None else die.flat,
    )


def _measured(
    job: Job, parts: tuple[Solid | None, ...], bend: Bend | None, memory: Memory
) -> tuple[dict[str, Measures], tuple[Finding, ...]]:
    """Measure die, backing and handle as they are printed, and say what is too large for the printer."""
    printed = tuple(each and memory.recall(as_printed, each, bend, job.bend) for each in parts)
    return measure_parts(job, printed, memory), memory.recall(examine_parts, printed, job.printer)


def _about_art(job: Job, artwork: Artwork, laid: Laid) -> Iterator[Finding]:
    """Yield what is said of the artwork; what the layout says of base and bed is said of the die itself."""
    return (each for each in about_artwork(job, artwork, laid) if each.kind not in (OFF_BED, ASKEW))


def _check_given(job: Job, artwork: Artwork) -> None:
    """Check that a stamp is made of a job and artwork; raises :class:`JobError` or :class:`ArtworkError`."""
    if not isinstance(job, Job):
        raise JobError(f"a stamp takes a Job, such as Job() or read_job(path), not {type(job).__name__}")
    if job.inks:
        raise JobError(
            f"the job lists {len(job.inks)} inks, which take a stamp each: make them as a set (stampwright make, or "
            "make_set), or leave its inks out"
        )
    if not isinstance(artwork, Artwork):
        raise ArtworkError(f"a stamp takes artwork as read_artwork(path) returns it, not {type(artwork).__name__}")


def _judge(
    job: Job, die: Raised, impression: Impression, given: GivenArt, memory: Memory, *, screened: MultiPolygon | None
) -> Judgement:
    """Judge what is printed by the art as given."""
    recall = memory.recall
    # A face with a texture prints lightly: it is judged by its outlines.
    printed = impression.outlines if die.face is None else recall(spread_ink, die.outlines, job.ink.spread)
    return recall(judge_by_art, printed, given, limits_of(job), job.preflight.accept, screen=screened)


def _press(job: Job, die: Raised, memory: Memory) -> Impression:
    """Press the die on paper: an even face with all its outlines, an uneven one with the push of the job."""
    if die.face is None:
        dressing = snap_heights(job).dressing
        return memory.recall(impress, die.flat, spread=job.ink.spread, depth=dressing)
    allowance = die.face.figures.allowance
    return memory.recall(
        impress_uneven,
        die.flat,
        die.outlines,
        stated_conditions(job),
        ink_of(job.ink),
        allowance=allowance,
        taken=allowance * job.press.dressed,
    )
