"""The whole job in order: artwork in, a proven stamp out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import shapely
from shapely.geometry import MultiPolygon, Polygon

from .artwork import Artwork, make_artwork, read_artwork
from .artwork.drawn import Line, Shape, draw_artwork, extent_of
from .errors import ArtworkError, JobError
from .examination import Laid, about_artwork, examine_job, lay_out_job, limits_of
from .face import Bead, FaceMap, Grey, TexturedFace, face_outlines, shape_die
from .face.texturing import recall_sculpt, texture_face
from .files.whole import digest_at
from .findings import Finding, by_severity
from .job import Job
from .job.heights import snap_heights
from .job.materials import MATERIALS
from .job.pieces import set_bolder
from .layout import ASKEW, OFF_BED, SMALLEST_INK, lay_out
from .likeness import GivenArt, Judgement, judge_by_art
from .memory import Memory, Progress, Steps
from .output import Written, check_folder, write_folder
from .parts import Measures, build_backing, build_cushion, build_die, build_handle, measure
from .parts.on_bed import examine_parts
from .preflight import examine
from .press import Impression, impress, impress_uneven, ink_of, spread_ink, stated_conditions
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
    return _make(job, artwork, Steps(progress), memory or Memory(), sculpt=sculpt, picture=picture)


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
    return _raise_die(job, lay_out_job(job, artwork, memory, picture=picture), memory, sculpt=sculpt).solid


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
) -> tuple[Stamp, Written | None]:
    """Make a stamp and write all its files, proven from the files themselves, into a folder.

    ``sculpt`` and ``picture`` are as for :func:`make_stamp`; a sculpt is written beside the die, so that the written
    job makes the same stamp again.
    Returns the stamp and what was written: None when a finding blocks the stamp, and then the folder is untouched.
    Raises :class:`~stampwright.errors.OutputError` when files are there already (unless ``overwrite``) or cannot be
    written, :class:`~stampwright.errors.ProofError` when the written die does not print the artwork, and what
    :func:`make_stamp` raises, such as :class:`~stampwright.errors.JobError` and
    :class:`~stampwright.errors.ArtworkError`.
    """
    _check_given(job, artwork)
    check_folder(folder, overwrite=overwrite, job=job, sources=artwork.sources)
    steps = Steps(progress, until=BUILDING)
    stamp = _make(job, artwork, steps, Memory(), sculpt=sculpt, picture=picture)
    if stamp.blocked:
        return stamp, None
    rest = Steps(progress, since=BUILDING)
    written = write_folder(
        folder, stamp, overwrite=overwrite, progress=rest.tell, timings=steps.seconds, version=__version__
    )
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
    if job.base.outline != "custom" or not job.base.points:
        return max(job.base.width, job.base.height)
    left, bottom, right, top = shapely.MultiPoint(job.base.points).bounds
    return float(max(right - left, top - bottom))


def draw_for(job: Job, shapes: Sequence[Shape], *, name: str = "") -> Artwork:
    """Return the artwork of shapes drawn elsewhere, its curves as fine as they need be at the job's size.

    Lines that have their width on paper keep it, whatever the magnification. Raises
    :class:`~stampwright.errors.ArtworkError` when nothing would print.
    """
    if not shapes:
        raise ArtworkError("there is nothing drawn: add a curve, a text or a flat mesh as artwork")
    width, height = extent_of(shapes)
    if not SMALLEST_INK < max(width, height) < math.inf:
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
        came = lay_out(artwork, job.layout, job.base, job.die, job.printer).scale
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


@dataclass(frozen=True)
class _Raised:
    """The die: ``outlines`` of its finished face, mm, paper frame, its solid, and its face, if that is textured."""

    outlines: MultiPolygon
    solid: Solid
    face: TexturedFace | None
    findings: tuple[Finding, ...]


def _make(
    job: Job, artwork: Artwork, steps: Steps, memory: Memory, *, sculpt: FaceMap | None, picture: Grey | None
) -> Stamp:
    """Take the stages in order: what is seen at once first, what takes long or depends on all the rest last."""
    _check_given(job, artwork)
    recall, hard = memory.recall, job.printer.hard
    with steps.timing("lay out", 0.0):
        sculpt = sculpt if sculpt is not None else recall_sculpt(job.face.sculpt, memory)
        laid = lay_out_job(job, artwork, memory, picture=picture)
        inked, base = laid.layout.inked, laid.layout.base
    with steps.timing("raise the die", 0.1):
        die = _raise_die(job, laid, memory, sculpt=sculpt)
    with steps.timing("build backing", 0.3):
        backing = recall(build_backing, base, job.backing, job.cushion, layer=hard.layer, up_mark=job.handle.up_mark)
        cushion = recall(build_cushion, base, job.cushion)
    with steps.timing("examine", 0.35):
        examined = recall(examine, laid.layout, job.preflight, limits_of(job))
    with steps.timing("build handle", 0.55):
        handle, about_handle = _build_handle(job, base, inked, memory)
    with steps.timing("press", 0.75):
        impression = _press(job, die, memory)
    with steps.timing("compare with the art", 0.85):
        given = recall(GivenArt.placed, artwork, laid.layout.matrix)
        judgement = _judge(job, die, impression, given, memory, screened=laid.screened)
    with steps.timing("measure", 0.9):
        measures = _measure(job, die.solid, backing, handle, memory)
        on_bed = recall(examine_parts, (die.solid, backing, handle), job.printer)
    # What the layout says of base and bed is said of the die itself.
    about_art = (each for each in about_artwork(job, artwork, laid) if each.kind not in (OFF_BED, ASKEW))
    about_parts = (*die.findings, *about_handle, *impression.findings, *judgement.findings, *on_bed)
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
        findings=by_severity((*about_art, *examined, *about_parts)),
        measures=measures,
        face=die.face,
        picture=laid.picture,
        given=given,
        judgement=judgement,
        screened=laid.screened,
        sources=artwork.sources,
    )


def _check_given(job: Job, artwork: Artwork) -> None:
    """Check that a stamp is made of a job and artwork; raises :class:`JobError` or :class:`ArtworkError`."""
    if not isinstance(job, Job):
        raise JobError(f"a stamp takes a Job, such as Job() or read_job(path), not {type(job).__name__}")
    if not isinstance(artwork, Artwork):
        raise ArtworkError(f"a stamp takes artwork as read_artwork(path) returns it, not {type(artwork).__name__}")


def _raise_die(job: Job, laid: Laid, memory: Memory, *, sculpt: FaceMap | None) -> _Raised:
    """Raise the die, with its texture if its face has any."""
    recall, layout, printer = memory.recall, laid.layout, job.printer
    outlines = recall(face_outlines, layout.inked, job.die, spread=job.ink.spread, line_width=printer.line_width)
    shape = recall(shape_die, outlines, layout.base, job.die, job.backing, layer=printer.layer)
    heights = snap_heights(job)
    face, about_face = texture_face(
        shape,
        job.face,
        layout.inked,
        layout.plain,
        depth=heights.texture,
        dressing=heights.dressing,
        bead=Bead(printer.line_width, printer.layer),
        sculpt=sculpt,
        picture=laid.picture,
        memory=memory,
    )
    solid = recall(build_die, shape) if face is None else face.dense.solid
    return _Raised(outlines, solid, face, about_face)


def _build_handle(
    job: Job, base: Polygon, inked: MultiPolygon, memory: Memory
) -> tuple[Solid | None, tuple[Finding, ...]]:
    """Build the handle, and say what there is to say of it."""
    return memory.recall(
        build_handle,
        base,
        inked if job.handle.index != "none" else MultiPolygon(),
        job.handle,
        job.backing,
        round_base=job.base.outline == "round",
        layer=job.printer.hard.layer,
        line_width=job.printer.hard.line_width,
        memory=memory,
    )


def _judge(
    job: Job, die: _Raised, impression: Impression, given: GivenArt, memory: Memory, *, screened: MultiPolygon | None
) -> Judgement:
    """Judge what is printed by the art as given."""
    recall = memory.recall
    # A face with a texture prints lightly: it is judged by its outlines.
    printed = impression.outlines if die.face is None else recall(spread_ink, die.outlines, job.ink.spread)
    return recall(judge_by_art, printed, given, limits_of(job), job.preflight.accept, screen=screened)


def _press(job: Job, die: _Raised, memory: Memory) -> Impression:
    """Press the die on paper: an even face with all its outlines, an uneven one with the push of the job."""
    if die.face is None:
        dressing = snap_heights(job).dressing
        return memory.recall(impress, die.solid, spread=job.ink.spread, depth=dressing)
    allowance = die.face.figures.allowance
    return memory.recall(
        impress_uneven,
        die.solid,
        die.outlines,
        stated_conditions(job),
        ink_of(job.ink),
        allowance=allowance,
        taken=allowance * job.press.dressed,
    )


def _measure(job: Job, die: Solid, backing: Solid | None, handle: Solid | None, memory: Memory) -> dict[str, Measures]:
    """Return the measures of every printed part by the name of its solid."""
    parts = (
        (die, job.die, job.price.die_per_kg, job.printer),
        (backing, job.backing, job.price.backing_per_kg, job.printer.hard),
        (handle, job.handle, job.price.handle_per_kg, job.printer.hard),
    )
    return {
        solid.name: memory.beside(solid.name).recall(
            measure,
            solid,
            material=MATERIALS[section.material],
            printer=printer,
            walls=section.walls,
            infill=section.infill,
            price_per_kg=price,
        )
        for solid, section, price, printer in parts
        if solid is not None
    }
