"""An examination: artwork judged by all a job says of it, and by what would print of it, before a solid is built."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry import MultiPolygon

from ..artwork import Artwork
from ..face import Grey, face_outlines
from ..findings import Finding, blocking, by_severity
from ..job import Job
from ..likeness import GivenArt, Judgement, judge_by_art
from ..memory import Memory
from ..preflight import examine
from ..press import spread_ink
from .laying import Laid, about_artwork, lay_out_job, limits_of


@dataclass(frozen=True, eq=False)
class Examination:
    """Artwork examined; places and outlines in the paper frame, mm, the origin in the middle of the base.

    ``given``: the artwork as it was given, at its size. ``printed``: what a sound, even die of it prints, with the
    ink's spread. ``findings``: all there is to say, the gravest first.
    """

    job: Job
    laid: Laid
    given: GivenArt
    printed: MultiPolygon
    judgement: Judgement
    findings: tuple[Finding, ...]

    @property
    def blocked(self) -> tuple[Finding, ...]:
        """The findings that keep a stamp from being made."""
        return blocking(self.findings)


def examine_job(
    job: Job, artwork: Artwork, *, picture: Grey | None = None, memory: Memory | None = None
) -> Examination:
    """Examine artwork as a job would make it: laid out, toned and repaired as it says, and judged by the art as given.

    ``picture``: for the ink's tone, in place of the file ``face.picture``; grey, (rows, columns), 0 dark to 1 light.
    Raises :class:`~stampwright.errors.StampwrightError` when the artwork cannot be laid out.
    """
    memory = memory or Memory()
    recall, limits = memory.recall, limits_of(job)
    laid = lay_out_job(job, artwork, memory, picture=picture)
    layout = laid.layout
    examined = recall(examine, layout, job.preflight, limits)
    line_width, spread = job.printer.line_width, job.ink.spread
    outlines = recall(face_outlines, layout.inked, job.die, spread=spread, line_width=line_width, repeat=layout.repeat)
    printed = recall(spread_ink, outlines, spread)
    given = recall(GivenArt.placed, artwork, layout.matrix, layout.repeat)
    judgement = recall(judge_by_art, printed, given, limits, job.preflight.accept, screen=laid.screened)
    findings = by_severity((*about_artwork(job, artwork, laid), *examined, *judgement.findings))
    return Examination(job, laid, given, printed, judgement, findings)
