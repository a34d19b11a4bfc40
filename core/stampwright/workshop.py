"""The whole job in order: artwork in, a proven stamp out."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from time import perf_counter

import shapely
from shapely.geometry import MultiPolygon

from .artwork import Artwork
from .artwork.drawn import Line, Shape, draw_artwork, extent_of
from .errors import ArtworkError
from .face import FaceMap, Grey, LaidPicture
from .face.texturing import lay_picture_of, press_face, read_sculpt_of, texture_face
from .face.toning import tone
from .findings import Finding, by_severity
from .job import Job
from .layout import SMALLEST_INK, Layout, lay_out
from .likeness import GivenArt, Judgement, judge_by_art
from .memory import Memory
from .output import Progress, Written, check_folder, write_folder
from .parts import (
    build_backing,
    build_cushion,
    build_die,
    build_handle,
    examine_backing,
    face_outlines,
    measure_parts,
    snap_heights,
)
from .plane.frames import on_grid
from .plane.regions import filled_parts
from .preflight import Repair, examine, repair
from .press import Impression, impress, spread_ink
from .stamp import Stamp
from .version import __version__

TOLERANCE = 0.005
"""How far a straight piece of drawn artwork may stray from its curve on paper, mm; an eighth of a pixel at 600 dpi."""

THINNING = 0.002
"""How far an outline of too many points may move when it is thinned, mm: a twentieth of a pixel at 600 dpi."""

OUTLINES_THINNED = "outlines thinned"

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
    return _make(job, artwork, _Steps(progress), memory or Memory(), sculpt=sculpt, picture=picture)


def examine_artwork(job: Job, artwork: Artwork, *, picture: Grey | None = None) -> tuple[Finding, ...]:
    """Return all there is to say about artwork before anything is built, the gravest first; repaired if the job asks.

    ``picture``: for the ink's tone, as for :func:`make_stamp`.
    Raises :class:`~stampwright.errors.StampwrightError` when the artwork cannot be laid out.
    """
    memory = Memory()
    layout = _placed(job, artwork)
    layout, mended = _mended(job, _toned(job, layout, lay_picture_of(job, layout.base, memory, picture), memory))
    about_repair = mended.findings if mended is not None else ()
    return by_severity(_all_findings(job, artwork, layout, (*about_repair, *examine(job, layout))))


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
    :func:`make_stamp` raises, such as :class:`~stampwright.errors.ArtworkError`.
    """
    check_folder(folder, overwrite=overwrite)
    steps = _Steps(progress, until=BUILDING)
    stamp = _make(job, artwork, steps, Memory(), sculpt=sculpt, picture=picture)
    if stamp.blocked:
        return stamp, None
    rest = _Steps(progress, since=BUILDING)
    written = write_folder(
        folder, stamp, overwrite=overwrite, progress=rest.tell, timings=steps.seconds, version=__version__
    )
    return written.stamp, written


def fitted_size(job: Job) -> float:
    """Return how long the longer side of the ink will be at most on this job's base, mm.

    It is what :func:`~stampwright.read_artwork` takes as ``fitted_to``, so that curves are fine enough at final size.
    """
    sizes = {
        "fit": max(job.base.width, job.base.height),
        # The other side may be the longer one; ten to one is a long line of lettering.
        "width": 10 * job.layout.width,
        "height": 10 * job.layout.height,
        # Nothing is enlarged: the smallest size there is leaves the reader's own tolerance in force.
        "page": 1.0,
    }
    return min(sizes[job.layout.size_by], job.printer.bed_width)


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
        "width": job.layout.width / max(width, SMALLEST_INK),
        "height": job.layout.height / max(height, SMALLEST_INK),
        "page": 1.0,
    }
    magnification = wanted[job.layout.size_by]
    artwork = draw_artwork(shapes, name=name, tolerance=TOLERANCE / magnification, magnification=magnification)
    if job.layout.size_by == "page" or not any(isinstance(shape, Line) and shape.on_paper for shape in shapes):
        return artwork
    # How far lines on paper must be drawn follows from a magnification that follows from how wide they are drawn.
    magnification = lay_out(job, artwork).scale
    return draw_artwork(shapes, name=name, tolerance=TOLERANCE / magnification, magnification=magnification)


def _make(
    job: Job, artwork: Artwork, steps: _Steps, memory: Memory, *, sculpt: FaceMap | None, picture: Grey | None
) -> Stamp:
    """Take the stages in order: what is seen at once first, what takes long or depends on all the rest last."""
    recall = memory.recall
    with steps.timing("lay out", 0.0):
        sculpt = sculpt if sculpt is not None else read_sculpt_of(job, memory)
        placed_by = (artwork, job.layout, job.base, job.die, job.printer, job.preflight.most_points)
        layout = recall("layout", placed_by, lambda: _placed(job, artwork))
        laid_picture = lay_picture_of(job, layout.base, memory, picture)
        layout = _toned(job, layout, laid_picture, memory)
        screened = layout.inked if _is_screened(job, laid_picture) else None
    with steps.timing("repair", 0.05):
        examined_by = (job.preflight, job.printer, job.ink)
        layout, mended = recall("repair", (layout, *examined_by), lambda: _mended(job, layout))
    with steps.timing("raise the die", 0.1):
        raised_by = (layout.inked, layout.base, job.die, job.ink, job.printer, job.backing)
        face, about_face = texture_face(job, layout, memory, sculpt=sculpt, picture=laid_picture)
        die = (
            recall("die", raised_by, lambda: build_die(job, layout.inked, layout.base))
            if face is None
            else face.dense.solid
        )
    with steps.timing("build backing", 0.3):
        backed_by = (layout.base, job.backing, job.cushion, job.printer, job.handle.up_mark)
        backing = recall("backing", backed_by, lambda: build_backing(job, layout.base))
        cushion = recall("cushion", backed_by, lambda: build_cushion(job, layout.base))
    with steps.timing("examine", 0.35):
        examined = recall("examine", (layout, *examined_by), lambda: examine(job, layout))
    with steps.timing("build handle", 0.55):
        indexed = layout.inked if job.handle.index != "none" else None
        held_by = (layout.base, indexed, job.handle, job.backing, job.printer, job.base)
        handle, about_handle = recall("handle", held_by, lambda: build_handle(job, layout.base, layout.inked, memory))
    with steps.timing("press", 0.75):
        pressed_by = (die, job.ink.spread, snap_heights(job).dressing)
        impression = (
            recall("press", pressed_by, lambda: impress(die, spread=pressed_by[1], depth=pressed_by[2]))
            if face is None
            else press_face(job, layout, face, memory)
        )
    with steps.timing("compare with the art", 0.85):
        given = recall("given", (artwork, layout.matrix), lambda: GivenArt.placed(artwork, layout.matrix, layout.scale))
        outlines = layout.inked if face is not None else None
        judged_by = (given, impression, outlines, screened)
        about = (job.ink, job.die, job.printer, job.preflight)
        judgement = recall("judge", (*judged_by, *about), lambda: _judged(job, *judged_by))
    with steps.timing("measure", 0.9):
        measures = measure_parts(job, die, backing, handle, memory)
    if mended is not None:
        examined = (*mended.findings, *examined)
    findings = (*_all_findings(job, artwork, layout, examined), *about_face, *about_handle, *impression.findings)
    findings = (*findings, *judgement.findings)
    return Stamp(
        job=job,
        layout=layout,
        inked=layout.inked,
        repair=mended,
        die=die,
        backing=backing,
        cushion=cushion,
        handle=handle,
        impression=impression,
        findings=by_severity(findings),
        measures=measures,
        face=face,
        picture=laid_picture,
        given=given,
        judgement=judgement,
        screened=screened,
    )


def _placed(job: Job, artwork: Artwork) -> Layout:
    """Return the layout with ink and base just as a mesh file can hold them, in no more points than the job allows."""
    layout = _thinned(lay_out(job, artwork), job.preflight.most_points)
    return replace(layout, inked=on_grid(layout.inked), base=on_grid(layout.base))


def _toned(job: Job, layout: Layout, picture: LaidPicture | None, memory: Memory) -> Layout:
    """Return the layout with a picture's tones in its ink if the job asks for it."""
    if job.face.tone == "none" or picture is None:
        return layout

    def toned() -> Layout:
        found = tone(job, layout, picture)
        return replace(found, inked=on_grid(found.inked))

    return memory.recall("tone", (layout, picture, job.face, job.tracing, job.preflight, job.printer, job.ink), toned)


def _is_screened(job: Job, picture: LaidPicture | None) -> bool:
    """Whether the ink holds tones as dots or lines: from the job's picture, or from the art's own tones."""
    return job.tracing.tone != "none" or (job.face.tone != "none" and picture is not None)


def _judged(
    job: Job, given: GivenArt, impression: Impression, outlines: MultiPolygon | None, screened: MultiPolygon | None
) -> Judgement:
    """Judge the impression by the art as given; a face with a texture by its ``outlines``, for that prints lightly."""
    printed = impression.outlines if outlines is None else spread_ink(face_outlines(job, outlines), job.ink.spread)
    return judge_by_art(printed, given, job.preflight, spread=job.ink.spread, screen=screened)


def _thinned(layout: Layout, most: int) -> Layout:
    """Leave points out of outlines that have too many, and say so; raises ``ArtworkError`` when that does not do."""
    count = shapely.get_num_coordinates(layout.inked)
    if count <= most:
        return layout
    inked = filled_parts(shapely.simplify(layout.inked, THINNING, preserve_topology=False))
    if not inked.is_valid:
        inked = filled_parts(shapely.simplify(layout.inked, THINNING))
    left = shapely.get_num_coordinates(inked)
    if left > most:
        raise ArtworkError(
            f"the artwork has {left:,} outline points even when thinned to within {THINNING:g} mm; {most:,} are built. "
            "Simplify it, or raise preflight.most_points and allow time and memory for it"
        )
    note = Finding(
        kind=OUTLINES_THINNED,
        severity="notes",
        stage="layout",
        message=f"Of {count:,} outline points {left:,} were kept; no outline moved by more than {THINNING:g} mm",
        remedy="Raise preflight.most_points to build every point",
        measured=float(count),
        limit=float(most),
        unit="points",
    )
    return replace(layout, inked=inked, findings=(*layout.findings, note))


def _mended(job: Job, layout: Layout) -> tuple[Layout, Repair | None]:
    """Return the layout with its ink repaired if the job asks for it, and the repair."""
    wanted = job.preflight
    if not (wanted.repair or wanted.repair_at):
        return layout, None
    mended = repair(job, layout, None if wanted.repair else wanted.repair_at)
    mended = replace(mended, inked=on_grid(mended.inked))
    return replace(layout, inked=mended.inked), mended


def _all_findings(job: Job, artwork: Artwork, layout: Layout, examined: tuple[Finding, ...]) -> tuple[Finding, ...]:
    read = tuple(finding.moved(layout.matrix) for finding in artwork.findings)
    return (*read, *layout.findings, *examined, *snap_heights(job).findings, *examine_backing(job))


@dataclass(frozen=True)
class _Steps:
    """Tells progress within a part of the whole, and keeps the seconds that each step took."""

    progress: Progress | None = None
    since: float = 0.0
    until: float = 1.0
    seconds: dict[str, float] = field(default_factory=dict)

    def tell(self, step: str, share: float) -> None:
        if self.progress is not None:
            self.progress(step, self.since + share * (self.until - self.since))

    @contextmanager
    def timing(self, step: str, share: float) -> Iterator[None]:
        self.tell(step, share)
        start = perf_counter()
        yield
        self.seconds[step] = perf_counter() - start
