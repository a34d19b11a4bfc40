"""Artwork laid out by a job: at its size on its base, with tones in its ink, and repaired, as far as the job asks."""

from __future__ import annotations

from dataclasses import dataclass, replace

from shapely.geometry import MultiPolygon

from ..artwork import Artwork
from ..face import Grey, LaidPicture
from ..face.textures.texturing import recall_picture
from ..face.tones.screens import Screen, screened_finding
from ..face.tones.toning import screen_of, tone
from ..findings import Finding
from ..job import Job
from ..job.bent import repeat_of
from ..job.heights import snap_heights
from ..job.sections.bending import BendSection
from ..job.sections.parts import DieSection
from ..job.sections.placing import BaseSection, LayoutSection
from ..job.sections.preflight import PreflightSection
from ..job.sections.printing import PrinterSection
from ..layout import Layout, about_ends, lay_out, thin_outlines, without_ends
from ..memory import Memory
from ..parts import examine_backing
from ..plane.frames import on_grid
from ..plane.repeats import Repeat
from ..preflight import PrintLimits, Repair, repair


@dataclass(frozen=True)
class Laid:
    """Artwork laid out, toned and repaired, as far as the job asks for it; ``picture``: what its tones come from.

    ``screened``: its ink before repair, where that holds tones as dots or lines, from a picture or from the art.
    """

    layout: Layout
    repair: Repair | None
    picture: LaidPicture | None
    screened: MultiPolygon | None


def lay_out_job(job: Job, artwork: Artwork, memory: Memory, *, picture: Grey | None) -> Laid:
    """Lay artwork out on its base, with a picture's tones in its ink and repaired if the job asks for either.

    ``picture``: for the ink's tone, in place of the file ``face.picture``; grey, (rows, columns), 0 dark to 1 light.
    Raises :class:`~stampwright.errors.StampwrightError` when the artwork cannot be laid out.
    """
    recall, face = memory.recall, job.face
    repeat, most = repeat_on_paper(job.bend), job.preflight.most_points
    layout = recall(_placed, artwork, job.layout, job.laid_on, job.die, job.printer, most=most, repeat=repeat)
    laid_picture = recall_picture(face, layout.base.bounds, memory, picture)
    if face.tone != "none" and laid_picture is not None:
        screen = screen_of(face, job.tracing, job.preflight, job.ink, job.printer)
        inked = recall(_toned, layout.inked, layout.plain, laid_picture, screen, job.printer.line_width / 2)
        layout = replace(layout, inked=inked, findings=(*layout.findings, screened_finding(screen)))
    is_screened = job.tracing.tone != "none" or (face.tone != "none" and laid_picture is not None)
    screened = layout.inked if is_screened else None
    wanted = job.preflight
    if not (wanted.repair or wanted.repair_at):
        return Laid(layout, None, laid_picture, screened)
    at = None if wanted.repair else wanted.repair_at
    mended = recall(_mended, layout.inked, wanted, limits_of(job), at, repeat=repeat)
    return Laid(replace(layout, inked=mended.inked), mended, laid_picture, screened)


def _placed(
    artwork: Artwork,
    layout: LayoutSection,
    base: BaseSection,
    die: DieSection,
    printer: PrinterSection,
    *,
    most: int,
    repeat: Repeat | None,
) -> Layout:
    """Return the layout with ink and base just as a mesh file can hold them, in no more points than ``most``."""
    laid = thin_outlines(lay_out(artwork, layout, base, die, printer), most)
    laid = replace(laid, inked=on_grid(laid.inked), base=on_grid(laid.base), repeat=repeat)
    if repeat is None:
        return laid
    told = without_ends(laid.findings, laid.inked, laid.base, upward=repeat.upward)
    return replace(laid, findings=(*told, *about_ends(laid.inked, repeat)))


def _toned(
    inked: MultiPolygon, plain: MultiPolygon, picture: LaidPicture, screen: Screen, thinnest: float
) -> MultiPolygon:
    """Return ink with a picture's tones in it, just as a mesh file can hold it."""
    return on_grid(tone(inked, plain, picture, screen, thinnest=thinnest))


def _mended(
    inked: MultiPolygon,
    wanted: PreflightSection,
    limits: PrintLimits,
    at: tuple[tuple[float, float], ...] | None,
    *,
    repeat: Repeat | None,
) -> Repair:
    """Return the repair of ink, just as a mesh file can hold it."""
    mended = repair(inked, wanted, limits, at, repeat=repeat)
    return replace(mended, inked=on_grid(mended.inked))


def repeat_on_paper(bend: BendSection) -> Repeat | None:
    """Return how a roller's artwork comes again on paper; None for what prints once."""
    return Repeat(repeat_of(bend), upward=bend.rolls == "up") if bend.form == "roller" else None


def limits_of(job: Job) -> PrintLimits:
    """Return what the printer of a job lays and its ink leaves open, mm."""
    return PrintLimits.of(job.preflight, job.ink, job.printer)


def about_artwork(job: Job, artwork: Artwork, laid: Laid) -> tuple[Finding, ...]:
    """Return all that is to be said of the artwork and of how the job lays it out, before it is examined."""
    read = tuple(finding.moved(laid.layout.matrix) for finding in artwork.findings)
    mended = laid.repair.findings if laid.repair is not None else ()
    about_job = (*snap_heights(job).findings, *examine_backing(job.backing, job.die))
    return (*read, *laid.layout.findings, *mended, *about_job)
